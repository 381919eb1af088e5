"""What a command found on one screen: what it comes to, what to do, the answers, and the rest.

What can hurt is never left out, whatever room it takes; of the rest there is as much as has room,
and it is said how much is left.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wellsolar.reports.cautions import in_short
from wellsolar.reports.plain import as_sentence, ended
from wellsolar.reports.rows import cell_text
from wellsolar.reports.tables.sections import counts
from wellsolar.reports.text.layout import columns, wrapped
from wellsolar.results import Results
from wellsolar.results.whole import Answer, ToDo
from wellsolar.units import System
from wellsolar.verdicts import Assumption, Trade

LINES, WIDTH = 24, 80
"""Of a terminal as it is opened."""

MARK, SUBJECT = 10, 18
"""Columns of a state and of the name before an answer."""

SET = "command line"
"""Source of a value that was typed in place of the file's."""

BEGUN = "In short,"
"""Before the numbers of a headline: the name that follows, as the file writes it, may be small."""

HEADLINE = 40
"""Words of the headline: it stands within the first fifty."""

MORE = "--full prints all; --about WORD explains a rule, number, key or source"

FEW = 3
"""Answers that keep their place before work that can't hurt anyone."""

_BRACKETS = re.compile(r" \([^()]*\)")
_LAST_CLAUSE = re.compile(r"[,;:] (?:(?![,;:] ).)*$")


@dataclass(frozen=True)
class Block:
    """Something told in one line, or in as many as it takes.

    mark: what stands before it; begin: columns of the mark; text, end: what is told, and what of
        it is kept where it is cut
    safety: True where it is never left out; status: what it is counted as where it is
    whole: True where it is never cut; short: what may stand before its colon in a pinch
    dots: True where a clause that is left out is missed
    """

    mark: str
    begin: int
    text: str
    end: str = ""
    safety: bool = False
    status: str = ""
    whole: bool = False
    short: str = ""
    dots: bool = False

    def lines(self, width: int, most: int | None = None) -> list[str]:
        """It in lines, in no more than so many."""
        wrapped_lines = self._wrapped(self.text, width)
        if most is None or self.whole or len(wrapped_lines) <= most:
            return wrapped_lines
        for text in self._shorter():
            if len(wrapped_lines := self._wrapped(text, width)) <= most:
                return wrapped_lines
        while len(wrapped_lines := self._wrapped(text, width)) > most:
            fewer = text.removesuffix(" ...").rpartition(" ")[0].rstrip(",;:") + " ..."
            if fewer == text:  # its mark alone is longer than that
                return wrapped_lines[:most]
            text = fewer
        return wrapped_lines

    def _shorter(self) -> Iterator[str]:
        """Its text without what stands in brackets, then clause by clause shorter, then led by a
        shorter name."""
        lead, between, rest = self.text.partition(": ") if self.short else ("", "", self.text)
        whole = _BRACKETS.sub("", rest)
        for name in (lead, self.short) if self.short else ("",):
            text = whole
            while text:
                yield f"{name}{between}{text}" + " ..." * (self.dots and text != whole)
                text = _LAST_CLAUSE.sub("", text) if _LAST_CLAUSE.search(text) else ""

    def _wrapped(self, text: str, width: int) -> list[str]:
        mark = self.mark + " " * max(1, self.begin - columns(self.mark))
        return wrapped(text + self.end, width, mark, " " * self.begin)


def screen(results: Results, width: int = WIDTH) -> str:
    """What a command found, in no more lines than a screen has, but for what can hurt.

    Parameters:
        width: columns, of which 80 are used at most
    Returns:
        the text, with a line break at its end
    """
    width = min(width, WIDTH)
    head = wrapped(headline(results), width)
    end = _end(results, width)
    work = _work(results.todo, results.system)
    blocks = [_answer(answer, results.system) for answer in results.answers]
    by_hand = [assumption for assumption in results.assumptions if assumption.source == SET]
    if by_hand:
        told_of = ", ".join(
            f"{assumption.path} = {_value(assumption, results.system)}" for assumption in by_hand
        )
        blocks.append(Block("set by --with", SUBJECT, told_of, status="setting"))
    if results.answers and results.notes:
        absent = [note.partition(" in the file")[0].removeprefix("no ") for note in results.notes]
        blocks.append(Block("not in the file", SUBJECT, ended(", ".join(absent)), status="note"))
    room = LINES - len(head) - len(end)
    kept = _kept(work, blocks, width, room)
    left = [block for block in (*work, *blocks) if block not in kept]
    if left:
        kept = _kept(work, blocks, width, room - 1)
        left = [block for block in (*work, *blocks) if block not in kept]
        end = [f"Left out: {_counted(left)}; --full has them.", *end]
    kept.sort(key=lambda block: block.begin != MARK)  # work is told whole before answers are
    lines = _grown(kept, width, LINES - len(head) - len(end))
    groups = [
        head,
        [line for block in work for line in lines.get(id(block), ())],
        [line for block in blocks for line in lines.get(id(block), ())],
        end,
    ]
    groups = [group for group in groups if group]
    spare = LINES - sum(map(len, groups))
    blank = [""] if spare >= len(groups) - 1 else []
    text = list(groups[0])
    for group in groups[1:]:
        text += [*blank, *group]
    return "\n".join(text) + "\n"


COLOURS = {"FAIL": "31;1", "UNKNOWN": "35", "CAUTION": "33"}
"""Of a state at a terminal, as it is told a colour."""


def coloured(text: str) -> str:
    """A screen with the states before its lines in colour."""
    pattern = rf"^({'|'.join(COLOURS)})(!?)"
    return re.sub(
        pattern, lambda at: f"\033[{COLOURS[at[1]]}m{at[0]}\033[0m", text, flags=re.MULTILINE
    )


def headline(results: Results) -> str:
    """What it comes to: whose site, how it was judged, and the first numbers.

    Returns:
        sentences of some forty words at most but for the site's name
    """
    headline_text = f"{results.site_name}: {judged(results)}."
    begun = []
    for answer in results.answers:
        clause = re.split(r"[,;] ", answer.text.text(results.system, short=True))[0]
        begun.append(f"{answer.subject}: {clause}")
        if len("; ".join(begun).split()) > HEADLINE - len(judged(results).split()):
            begun = begun[: max(1, len(begun) - 1)]
            break
    if not begun and results.notes and results.verdicts:
        return f"{headline_text} {as_sentence(results.notes[0])}"
    if not begun:
        return headline_text
    return f"{headline_text} {BEGUN} {ended('; '.join(begun))}"


def judged(results: Results) -> str:
    """The verdicts in words, such as "2 of 40 checks fail (1 can hurt), 3 cautions"."""
    by_status = counts(results)
    total = sum(by_status.values())
    if results.readings is not None and total:
        return _read_off(results)
    if not total:
        return ended(results.notes[0]).rstrip(".") if results.notes else "nothing to judge"
    of_all = f"{total} check" + "s" * (total != 1)
    hurt = {
        status: sum(
            verdict.status == status and verdict.rule.safety for verdict in results.verdicts
        )
        for status in by_status
    }
    counted_texts = []
    if by_status["fail"]:
        counted_texts.append(
            f"{by_status['fail']} of {of_all} fail" + "s" * (by_status["fail"] == 1)
        )
        counted_texts[0] += _of_them(hurt["fail"], by_status["fail"])
    else:
        counted_texts.append(f"nothing fails in {of_all}")
    if by_status["unknown"]:
        counted_texts.append(
            f"{by_status['unknown']} unknown{_of_them(hurt['unknown'], by_status['unknown'])}"
        )
    if by_status["caution"]:
        word = "caution" if by_status["caution"] == 1 else "cautions"
        counted_texts.append(
            f"{by_status['caution']} {word}{_of_them(hurt['caution'], by_status['caution'])}"
        )
    return ", ".join(counted_texts)


def _read_off(results: Results) -> str:
    """How many readings are off, in words."""
    off = [verdict for verdict in results.verdicts if verdict.status in ("fail", "caution")]
    total = f"{len(results.verdicts)} reading" + "s" * (len(results.verdicts) != 1)
    if not off:
        sentence = f"nothing is off in {total}"
    else:
        sentence = f"{len(off)} of {total} {'is' if len(off) == 1 else 'are'} off"
        sentence += _of_them(sum(verdict.rule.safety for verdict in off), len(off))
    unknown = counts(results)["unknown"]
    return f"{sentence}, {unknown} unknown" if unknown else sentence


def _of_them(hurt: int, number: int) -> str:
    if not hurt:
        return ""
    return " (can hurt)" if hurt == number else f" ({hurt} can hurt)"


def _work(todo: Sequence[ToDo], system: System) -> list[Block]:
    """A block for each piece of work; what is to be read is put together by whose work it is and
    whether it can hurt."""
    blocks: list[Block] = []
    read: dict[tuple[bool, Trade], list[str]] = {}
    for to_do in todo:
        if to_do.act == "read":
            keys = read.setdefault((to_do.safety, to_do.by), [])
            if not keys:
                blocks.append(Block("", 0, "", status=f"{to_do.safety} {to_do.by}"))
            named = {key for keys_read in read.values() for key in keys_read}
            keys += [key for key in to_do.needs if key not in named]
        else:
            blocks.append(_piece(to_do, system))
    for place, block in enumerate(blocks):
        if not block.text:
            hurts, _, by = block.status.partition(" ")
            keys = read[hurts == "True", by]  # type: ignore[index]
            blocks[place] = _read(keys, hurts == "True", by)
    return [block for block in blocks if block.text]


def _piece(todo: ToDo, system: System) -> Block:
    worst = todo.clears[0]
    asked = "" if worst.rule.key == "reading" else f", {worst.rule.key}"
    more = f" and {len(todo.clears) - 1} more" if len(todo.clears) > 1 else ""
    return Block(
        _mark(todo.status, todo.safety), MARK,
        f"{todo.subject}{asked}{more}: {todo.first.text(system)}", f" - {todo.by}",
        todo.safety, todo.status, short=todo.subject,
    )  # fmt: skip


def _read(keys: Sequence[str], safety: bool, by: str) -> Block:
    text = f"find out {', '.join(keys)}" if keys else ""
    return Block(
        _mark("unknown", safety), MARK, text, f" - {by}", safety, "unknown",
        whole=safety,
    )  # fmt: skip


def _mark(status: str, safety: bool) -> str:
    return status.upper() + "!" * safety


def _value(assumption: Assumption, system: System) -> str:
    return cell_text(assumption.value, system)


def _answer(answer: Answer, system: System) -> Block:
    text = ended(answer.text.text(system, short=True))
    return Block(answer.subject, SUBJECT, text, status="answer", dots=True)


def _kept(work: Sequence[Block], blocks: Sequence[Block], width: int, room: int) -> list[Block]:
    """What has room in one line each: what can hurt, a few answers, other work, the rest."""
    hurts = [block for block in work if block.safety]
    rest = [block for block in work if not block.safety]
    kept = []
    for number, block in enumerate((*hurts, *blocks[:FEW], *rest, *blocks[FEW:])):
        size = len(block.lines(width, 1))
        if number < len(hurts) or size <= room:
            kept.append(block)
            room -= size
    return kept


def _grown(kept: Sequence[Block], width: int, room: int) -> dict[int, list[str]]:
    """The lines of what is kept: where there is room left, those that were cut get more."""
    lines = {id(block): block.lines(width, 1) for block in kept}
    spare = room - sum(map(len, lines.values()))
    for most in (2, 3, 4):
        for block in kept:
            longer = block.lines(width, most)
            more = len(longer) - len(lines[id(block)])
            if 0 < more <= spare:
                lines[id(block)] = longer
                spare -= more
    return lines


def _counted(left: Sequence[Block]) -> str:
    by_word: dict[str, int] = {}
    for block in left:
        by_word[block.status] = by_word.get(block.status, 0) + 1
    return ", ".join(
        f"{number} {status}" + "s" * (number > 1 and status != "unknown")
        for status, number in by_word.items()
    )


LONGEST = 14
"""Letters that a line may lack, since no word is broken: those of the longest."""


def _end(results: Results, width: int) -> list[str]:
    """What can hurt in the work, and where the rest is."""
    # Two lines: one would end before direct current where mains are there too. Hot water hurts
    # whoever lives there, on any day: scalds are told whatever else there is.
    care = in_short(results.cautions, 2 * (WIDTH - MARK) - LONGEST, ("scald",))
    mind = wrapped(care, width, f"{'CARE':<{MARK}}", " " * MARK) if care else []
    return [*mind, *wrapped(MORE, width, f"{'MORE':<{MARK}}", " " * MARK)]
