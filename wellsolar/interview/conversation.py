"""Holds the interview: puts each question that is open, and keeps what is said to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from shlex import quote
from typing import Literal

from wellsolar.interview.answers.control import control_in
from wellsolar.interview.answers.question import Question, Reading, Unclear
from wellsolar.interview.answers.reading import read_answer
from wellsolar.interview.check import problems
from wellsolar.interview.draft import Draft
from wellsolar.interview.questions.plan import plan
from wellsolar.interview.questions.still_open import still_open
from wellsolar.interview.screen import PROMPT, Screen
from wellsolar.interview.telling import Telling, echo, shown
from wellsolar.site.edit import NotEditable, Value
from wellsolar.site.locate import Path, key_text
from wellsolar.site.ordinary import Unusual, beyond_at

_INDENT, _ANSWER = 2, 4
Step = Literal["on", "back", "stop", "more", "agreed"]


@dataclass
class Conversation:
    """One sitting.

    draft: the file so far; screen: where it is held
    again: True where what was not known is asked again
    put: keys of the questions put in this sitting; wanted: of those asked once more for what an
        answer lacked; unsettled: those that verdicts raise
    """

    draft: Draft
    screen: Screen
    again: bool = False
    put: set[str] = field(default_factory=set)
    wanted: set[str] = field(default_factory=set)
    unsettled: list[Question] = field(default_factory=list)
    telling: Telling = field(init=False)

    def __post_init__(self) -> None:
        self.telling = Telling(self.screen, self.draft.facts().system)

    def hold(self) -> bool:
        """Ask until nothing is open.

        Returns:
            True at the end, False where the person left before it
        """
        self.telling.greeting(self.draft)
        group, wanted = "", ""
        while True:
            questions = [*plan(self.draft.facts()), *self.unsettled]
            question = next((question for question in questions if question.key == wanted), None)
            question = question or self._open(questions)
            if question is None:
                if self._more_to_settle():
                    continue
                break
            if question.group != group:
                self.telling.news(self.draft)
                group = question.group
                self.telling.heading(group, questions, self.draft.facts())
            step = self._ask(question)
            if step == "stop":
                return False
            wanted = self._before(question, questions) if step == "back" else ""
        self.telling.news(self.draft)
        self.telling.end(self.draft)
        return True

    def to_be_sized(self) -> bool:
        """Offer to choose what nobody could tell.

        Returns:
            True where something is open and the person wants it chosen now
        """
        parts = self.draft.to_size()
        if not parts:
            return False
        self.screen.blank()
        listed = " and ".join([", ".join(parts[:-1]), parts[-1]] if parts[1:] else parts)
        name = quote(self.draft.path)
        self.screen.say(
            f"Nobody told the {listed}: wellsolar size {name} -o DESIGN.toml chooses them and "
            "writes a design. Type yes to see it now."
        )
        typed = self.screen.line(PROMPT)
        return typed is not None and control_in(typed, True) == "yes"

    def leave(self) -> None:
        """Say where everything is and how to go on."""
        self.telling.left(self.draft)

    def _more_to_settle(self) -> bool:
        """Whether verdicts lack what a person could tell: of those on safety, or of all where what
        is open is asked `again`. They are looked at anew when all of that is answered."""
        facts = self.draft.facts()
        not_known = {
            path
            for question in plan(facts)
            if question.key in facts.settled
            for part in question.parts
            for path in (part.path, *part.also)
        }
        verdicts = [
            verdict
            for verdict in self.telling.standing(self.draft)
            if self.again or verdict.rule.safety
        ]
        self.unsettled = [
            question
            for question in still_open(verdicts, facts, not_known)
            if question.key not in self.put and not facts.is_answered(question, self.again)
        ]
        return bool(self.unsettled)

    def _open(self, questions: list[Question]) -> Question | None:
        """The first question that is still open."""
        facts = self.draft.facts()
        for question in questions:
            again = self.again and question.key not in self.put
            if not facts.is_answered(question, again):
                return question
        return None

    def _before(self, question: Question, questions: list[Question]) -> str:
        place = [question.key for question in questions].index(question.key)
        if place == 0:
            self._say("This is the first question.")
        return questions[max(0, place - 1)].key

    def _ask(self, question: Question) -> Step:
        """Put one question until it is answered, left open, or left."""
        facts = self.draft.facts()
        there = shown({part.path: facts.get(*part.path) for part in question.parts}, question)
        whole = facts.is_whole(question)
        lines = [f"For example: {self._example(question)}"]
        if there:
            lines.append(f"{'Enter keeps' if whole else 'Known so far'}: {there}")
        elif question.offer is not None:
            lines.append(f"Enter takes {question.offer.text}: {question.offer.why}")
        self.screen.blank()
        self.screen.say(question.asks)
        for line in lines:
            self.screen.say(line, _INDENT)
        asked, agreed = question if whole else self._rest(question), False
        while True:
            typed = self.screen.line(PROMPT)
            if typed is None:
                self.screen.blank()
                return "stop"
            step = self._taken(asked, typed, whole, agreed)
            agreed = agreed or step == "agreed"
            if step == "more":
                now = self._as_it_stands(question)
                whole = self.draft.facts().is_whole(now)
                asked = replace(self._rest(now), declines=False, offer=None, reads=None)
            elif step in ("on", "back", "stop"):
                if step == "on":
                    self.put.add(question.key)
                return step

    def _rest(self, question: Question) -> Question:
        """A question of which part is known, with what lacks first: bare numbers are meant for
        that."""
        if question.reads is not None:
            return question
        facts = self.draft.facts()
        parts = sorted(question.parts, key=lambda part: facts.get(*part.path) is not None)
        return replace(question, parts=tuple(parts))

    def _taken(
        self, question: Question, typed: str, whole: bool, agreed: bool = False
    ) -> Step | None:
        """Deal with one line; None where the question is to be answered once more."""
        control = control_in(typed, question.declines)
        if control in ("stop", "back"):
            return "stop" if control == "stop" else "back"
        if control == "help":
            self._say(question.helps)
            return None
        if control == "not known":
            return self._left_open(question, whole, agreed)
        if control == "yes" and question.reads is None:
            self._say(f"Then say what is known of it, such as {self._example(question)}; or don't "
                      "know.")  # fmt: skip
            return "agreed"
        if control == "no":
            return self._declined(question)
        if control != "nothing":
            return self._answered(question, typed, "")
        if whole:
            return "on"
        if question.offer is not None:
            return self._answered(question, question.offer.text, question.offer.why)
        self._say("An answer, please; or don't know, back, help, stop.")
        return None

    def _answered(self, question: Question, text: str, why: str) -> Step | None:
        try:
            reading = read_answer(text, question, self.draft.facts().system)
            gone = self._surplus(question, reading)
            if gone and not self._sure(gone):
                return None
            values = self._with_its_own(question, reading)
            remarks = _remark(question, values, why)
            changed = self.draft.settling(question.key, reading.choice).without(gone)
            changed = changed.with_values(values, remarks)
        except (Unclear, NotEditable) as error:
            self._not_understood(str(error), question)
            return None
        before = problems(self.draft.tables())
        mistakes = [problem for problem in problems(changed.tables()) if problem not in before]
        if mistakes:
            for path, message in mistakes:
                self._say(f"That can't be: {key_text(path)}: {message}.")
            self._say("Answer again, or say back to change an earlier answer.")
            return None
        if not all(self._meant(unusual) for unusual in _unusual(values)):
            return None
        self.screen.say(f"= {echo(reading, question)}", _ANSWER, "  ")
        for note in reading.notes:
            self._say(f"({note})")
        for piece in reading.left_out:
            self._say(f"Left out: {piece}.")
        self._keep(changed)
        return self._asked_on(question)

    def _asked_on(self, question: Question) -> Step:
        """Go on, or ask at once for what an answer did not say of its question."""
        facts, question = self.draft.facts(), self._as_it_stands(question)
        open_parts = [part for part in question.parts if facts.get(*part.path) is None]
        lacking = [part.asked_for for part in open_parts if not part.optional]
        wanted = [part.asked_for for part in open_parts if part.optional == "wanted"]
        if not facts.is_answered(question):
            self._say(f"Kept. Still to tell: {'; '.join(lacking)}. Or say: don't know.")
            return "more"
        if not wanted or question.key in self.wanted:
            return "on"
        self.wanted.add(question.key)
        self._say(f"Kept. If you know it: {'; '.join(wanted)}. Enter goes on without.")
        return "more"

    def _as_it_stands(self, question: Question) -> Question:
        """A question as the file now raises it: a pump that becomes whole may change its place."""
        raised = [*plan(self.draft.facts()), *self.unsettled]
        return next((new for new in raised if new.key == question.key), question)

    def _example(self, question: Question) -> str:
        return question.example(self.draft.facts().system)

    def _with_its_own(self, question: Question, reading: Reading) -> Mapping[Path, Value | None]:
        """An answer with the keys that go with it, where the file does not have them otherwise."""
        facts = self.draft.facts()
        values = dict(reading.values)
        for part in question.parts:
            before = facts.get(*part.path)
            for path in part.also:
                if facts.get(*path) not in (None, before):
                    values.pop(path, None)
        own = {path: value for path, value in question.sets.items() if facts.get(*path) is None}
        return {**own, **values}

    def _surplus(self, question: Question, reading: Reading) -> list[Path]:
        """Pumps above the number that was chosen."""
        if question.key != "pumps" or reading.choice is None:
            return []
        there = len(self.draft.facts().many("pump"))
        return [("pump", index) for index in range(int(reading.choice), there)]

    def _not_understood(self, message: str, question: Question) -> None:
        self._say(f"Not understood: {message}.")
        if "e.g." not in message and "such as" not in message:
            self._say(f"For example: {self._example(question)}")

    def _left_open(self, question: Question, whole: bool, agreed: bool) -> Step:
        if whole:
            self._say("What the file has stays; take it out there if it is wrong.")
            return "on"
        without = f"without it nobody can say {question.open}" if question.open else ""
        self._say(f"Left open: {without or 'the usual is assumed'}.")
        self._keep(self.draft.settling(question.key, "yes" if agreed else "not known"))
        return "on"

    def _declined(self, question: Question) -> Step | None:
        gone = self._what_no_takes(question)
        if gone and not self._sure(gone):
            return None
        try:
            changed = self.draft.without(gone)
        except NotEditable as error:
            self._not_understood(str(error), question)
            return None
        self.screen.say("= no", _ANSWER, "  ")
        self._keep(changed.settling(question.key, "no"))
        return "on"

    def _what_no_takes(self, question: Question) -> list[Path]:
        """What stands in the file and goes with a no."""
        facts = self.draft.facts()
        if question.key == "pumps":
            goes: list[Path] = [("pump", index) for index in range(len(facts.many("pump")))]
        elif question.no_takes == "keys":
            goes = [part.path for part in question.parts]
        else:
            goes = [question.parts[0].path[:-1]] if question.no_takes == "table" else []
        return [path for path in goes if facts.get(*path) is not None]

    def _sure(self, gone: list[Path]) -> bool:
        listed = ", ".join(key_text(path) for path in gone)
        self._say(
            f"That takes out of the file: {listed}, with all that stands in it. Type yes to do so."
        )
        typed = self.screen.line(PROMPT)
        if typed is not None and control_in(typed, True) == "yes":
            return True
        self._say("Left as it is.")
        return False

    def _meant(self, unusual: Unusual) -> bool:
        """Ask whether what lies outside the ordinary is meant; else the question is put again."""
        doubt = unusual.told(self.draft.facts().system)
        self._say(f"{doubt[:1].upper()}{doubt[1:]} Type yes to keep it.")
        typed = self.screen.line(PROMPT)
        if typed is not None and control_in(typed, True) == "yes":
            return True
        self._say("Left as it was: answer again.")
        return False

    def _keep(self, draft: Draft) -> None:
        self.draft = draft.written()
        self.telling.due = True

    def _say(self, text: str) -> None:
        self.screen.say(text, _ANSWER)


def _unusual(values: Mapping[Path, Value | None]) -> list[Unusual]:
    """What of an answer lies outside the ordinary."""
    unusual_ones = [beyond_at(path, value) for path, value in values.items() if value is not None]
    return [unusual for unusual in unusual_ones if unusual is not None]


def _remark(
    question: Question, values: Mapping[Path, Value | None], why: str
) -> Mapping[Path, str]:
    """Behind the first key of an answer: that it was offered, or invented, and why."""
    first = next((part.path for part in question.parts if values.get(part.path)), None)
    if first is None or not (why or question.remark):
        return {}
    return {first: question.remark or f"offered: {why}"}
