"""The entities of a STEP file in an order that depends on their content alone.

The solid kernel writes colours in the order of memory addresses, so two runs of one job would differ. Here every
entity gets a fingerprint of its content with the entities it refers to, colours are sorted by it, those of alike
parts by the parts they are of, and all are numbered anew in the order in which they are reached. ISO 10303-21 gives
the order and the numbers no meaning.
"""

import hashlib
import re
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

_ENTITY = re.compile(r"#(\d+)\s*=\s*(.*?);[ \t]*\r?\n", re.DOTALL)
_STRING_OR_REFERENCE = re.compile(r"'(?:[^']|'')*'|#(\d+)")
_LIST_OF_COLOURS = re.compile(r"(MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION\('[^']*',\()([#\d,\s]*)(\))")


def in_order(step: bytes) -> bytes:
    """The same file, its entities in the one order that does not change from run to run.

    Raises:
        ValueError: It has no data section.
    """
    text = step.decode("latin-1")
    begin = text.index("DATA;") + len("DATA;")
    end = text.index("ENDSEC;", begin)
    bodies = {int(number): " ".join(body.split()) for number, body in _ENTITY.findall(text[begin:end])}
    ordered = _Order(bodies)
    return (text[:begin] + "\n" + "".join(ordered.lines()) + text[end:]).encode("latin-1")


class _Order:
    """The entities of one file, by their first numbers."""

    def __init__(self, bodies: dict[int, str]) -> None:
        self._bodies = bodies
        self._prints: dict[int, str] = {}
        for number in bodies:
            self._print(number)

    def lines(self) -> Iterator[str]:
        """The entities, numbered anew, one a line."""
        referred = {child for body in self._bodies.values() for child in _references(body)}
        roots = [number for number in self._bodies if number not in referred]
        plain = [n for n in roots if not _LIST_OF_COLOURS.search(self._bodies[n])]
        new: dict[int, int] = {}
        for root in plain:
            self._reach(root, new)
        of_parts = dict(new)

        def rank(number: int) -> tuple[str, list[int]]:
            return self._prints.get(number, ""), self._lead_to(number, of_parts)

        for number, body in self._bodies.items():
            self._bodies[number] = _LIST_OF_COLOURS.sub(partial(_sorted_list, key=rank), body)
        for root in sorted(set(roots) - set(plain), key=rank):
            self._reach(root, new)
        for number in self._bodies:  # what only a ring of references holds
            self._reach(number, new)
        for number, renamed in new.items():
            body = _STRING_OR_REFERENCE.sub(
                lambda match: f"#{new[int(match[1])]}" if match[1] else match[0], self._bodies[number]
            )
            yield f"#{renamed} = {body};\n"

    def _reach(self, number: int, new: dict[int, int]) -> None:
        stack = [number]
        while stack:
            at = stack.pop()
            if at not in new:
                new[at] = len(new) + 1
                stack.extend(child for child in reversed(list(_references(self._bodies[at]))) if child not in new)

    def _lead_to(self, number: int, numbered: dict[int, int]) -> list[int]:
        """The new numbers of the numbered entities that one refers to, at first or by way of others, in order."""
        numbers, seen, stack = set[int](), set[int](), [number]
        while stack:
            at = stack.pop()
            if at in numbered:
                numbers.add(numbered[at])
            elif at not in seen:
                seen.add(at)
                stack.extend(_references(self._bodies[at]))
        return sorted(numbers)

    def _print(self, number: int) -> str:
        """The fingerprint of an entity; a reference back into itself counts as such, not by its number."""
        stack, open_ones = [number], set[int]()
        while stack:
            at = stack[-1]
            if at in self._prints:
                stack.pop()
                continue
            waiting = [c for c in _references(self._bodies[at]) if c not in self._prints and c not in open_ones]
            if at not in open_ones and waiting:
                open_ones.add(at)
                stack.extend(waiting)
                continue
            by_print = partial(_sorted_list, key=lambda n: self._prints.get(n, ""))
            body = _LIST_OF_COLOURS.sub(by_print, self._bodies[at])
            content = _STRING_OR_REFERENCE.sub(
                lambda match: self._prints.get(int(match[1]), "itself") if match[1] else match[0], body
            )
            self._prints[at] = hashlib.sha256(content.encode("latin-1")).hexdigest()
            open_ones.discard(at)
            stack.pop()
        return self._prints[number]


def _sorted_list(match: re.Match[str], key: Callable[[int], Any]) -> str:
    """A list of colours with its items in order."""
    return match[1] + ",".join(f"#{n}" for n in sorted(_references(match[2]), key=key)) + match[3]


def _references(body: str) -> Iterator[int]:
    for match in _STRING_OR_REFERENCE.finditer(body):
        if match[1]:
            yield int(match[1])
