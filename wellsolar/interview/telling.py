"""What the interview says of its own accord: the greeting, verdicts as they come, the end."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from shlex import quote

from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.question import Question, Reading
from wellsolar.interview.check import lacking
from wellsolar.interview.draft import Draft
from wellsolar.interview.news import Judge, Told
from wellsolar.interview.screen import Screen
from wellsolar.site.edit import Value
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.locate import Path, key_text
from wellsolar.units import System
from wellsolar.verdicts import Verdict

_COUNTED = (("fail", "fail"), ("caution", "caution"), ("pass", "pass"), ("unknown", "open"))

_AT_THE_END = (
    ("fail", "As it stands, this fails:"),
    ("unknown", "Open, each with what would settle it in the file:"),
)


@dataclass
class Telling:
    """Tells what follows from the answers, each thing once.

    screen: where it is said; judge: who knows what is new; due: True while answers have not been
    looked at; last: what the last look brought
    """

    screen: Screen
    system: System
    due: bool = True
    last: Told | None = None
    judge: Judge = field(init=False)

    def __post_init__(self) -> None:
        self.judge = Judge(self.system)

    def greeting(self, draft: Draft) -> None:
        """What this is and how to steer it."""
        where = "a new file" if draft.disk is None else "and what stands there stays"
        self.screen.say(
            f"Questions about a house and its well. Each answer goes into {draft.path} at once, "
            f"{where}. Write units as you are used to; a bare number is taken in the unit of the "
            f"first example ({self.system} units)."
        )
        self.screen.say(
            "Enter takes what is offered. Say help, back, don't know or stop at any question; "
            "the same command goes on from there."
        )
        file = draft.site_file()
        if file is not None:
            look = self._looked(file)
            if look is not None and look.standing:
                self.screen.say(f"As the file stands: {_counted(look)}.")
            self.due = False

    def heading(self, group: str, questions: list[Question], facts: Facts) -> None:
        """The head of a group, with what is left."""
        left = sum(not facts.is_answered(question) for question in questions)
        self.screen.heading(group, f"  ({left} or more questions to come)" if left > 1 else "")

    def news(self, draft: Draft) -> None:
        """Verdicts that the last answers made or changed."""
        file = draft.site_file()
        if not self.due or file is None:
            return
        self.due = False
        look = self._looked(file)
        fresh = (
            []
            if look is None
            else [verdict for verdict in look.fresh if verdict.status != "unknown"]
        )
        if look is None or not fresh:
            return
        self.screen.heading("What follows so far")
        for verdict in fresh:
            self.screen.verdict(verdict, self.system)
        self.screen.say(f"In all: {_counted(look)}.")

    def end(self, draft: Draft) -> None:
        """What is still open, and what to do with the file."""
        self.screen.heading("Done")
        file = draft.site_file()
        if file is None:
            self.not_yet(draft)
            self.screen.say(f"To be asked again: wellsolar ask --again {quote(draft.path)}")
            return
        look = self._looked(file) if self.due else self.last
        standing = () if look is None else look.standing
        for status, head in _AT_THE_END:
            verdicts = [verdict for verdict in standing if verdict.status == status]
            if verdicts:
                self.screen.say(head)
                for verdict in verdicts:
                    self.screen.verdict(verdict, self.system)
                self.screen.blank()
        for name in _waiting(draft):
            self.screen.say(
                f"What was said of the {name} waits in the file as remarks, until the rest is "
                "known."
            )
        if look is not None:
            self.screen.say(f"{draft.path}: {_counted(look)}. The file is yours to edit.")
        name = quote(draft.path)
        self.screen.say(f"All of it, with reasons and sources: wellsolar check {name}")
        self.screen.say(f"What to buy and change: wellsolar parts {name}")
        self.screen.say(f"What to read on site, and what is right: wellsolar sheet {name}")

    def standing(self, draft: Draft) -> tuple[Verdict, ...]:
        """Every verdict on the site as it stands; none where it can't be judged yet."""
        file = draft.site_file()
        if file is None:
            return ()
        self.news(draft)
        look = self._looked(file) if self.last is None else self.last
        return () if look is None else look.standing

    def not_yet(self, draft: Draft) -> None:
        """Why nothing can be judged yet."""
        missing = lacking(draft.tables())
        keys = " and ".join(key_text(path) for path in missing.get(("well",), [("well",)]))
        self.screen.say(
            f"The answers are kept in {draft.path}; nothing can be judged until {keys} is known."
        )

    def left(self, draft: Draft) -> None:
        """Where everything is and how to go on."""
        if draft.disk is None:
            self.screen.say("Nothing was answered, so nothing was written.")
            return
        if draft.site_file() is None:
            self.not_yet(draft)
        self.screen.say(f"Kept in {draft.path}. To go on: wellsolar ask {quote(draft.path)}")

    def _looked(self, file: SiteFile) -> Told | None:
        """A look at the site; None where it can't be judged, which is then said."""
        look = self.judge.look(file)
        self.last = None if look.trouble else look
        if not look.trouble:
            return look
        self.screen.say(look.trouble)
        return None


def echo(reading: Reading, question: Question) -> str:
    """What was understood of an answer, in the words of the file, such as `starts at 40 psi,
    stops at 60 psi`."""
    if reading.choice is not None:
        names = [str(value) for path, value in reading.values.items() if path[-1] == "name"]
        return " and ".join(names)
    return shown(reading.values, question)


def shown(values: Mapping[Path, Value | None], question: Question) -> str:
    """The values of a question's keys, each with its label; empty where there is none."""
    labelled = []
    for part in question.parts:
        value = values.get(part.path)
        if isinstance(value, bool):
            labelled.append(f"{part.label}: {'yes' if value else 'no'}")
        elif isinstance(value, list):
            labelled.append(f"{part.label}: {', '.join(value) or 'nothing'}")
        elif value is not None:
            labelled.append(f"{part.label} {value}")
    return ", ".join(labelled)


def _waiting(draft: Draft) -> list[str]:
    facts = draft.facts()
    tables = dict.fromkeys(path[:2] if path[0] == "pump" else path[:1] for path in draft.waiting)
    return [str(facts.get(*path, "name") or str(path[0]).replace("_", " ")) for path in tables]


def _counted(look: Told) -> str:
    return ", ".join(
        f"{sum(settled.status == status for settled in look.standing)} {name}"
        for status, name in _COUNTED
    )
