"""Every error this package raises on purpose, as one tree.

    RiskapiError
    |- InputError            what was handed in is at fault; carries every fault found
    |  |- CaseError          a case file or request body (places are JSON pointers, RFC 6901)
    |  |  |- Unreadable      not a JSON text at all, or longer than is read
    |  |  `- FindingsClash   findings that cannot be true together under the model
    |  |- PhotoError         a picture that cannot be read or is too large
    |  |- HeaderError        a header of a request (places are header names)
    |  `- KnowledgeError     a knowledge pack (places are file:line:column)
    |- TooComplex            an exact answer would need more memory than is allowed
    |- NotFound              a thing asked for by id does not exist
    |- KeyReused             an idempotency key came with another body before
    |- Overtaken             another version came in between
    |- NothingNewer          a rescore was asked for, and the knowledge pack and the program are those it was made with
    |- NotPublishable        an assessment cannot be shown to the public (now)
    |- TooMany               more of something than is taken in a day
    |- NoKey                 nobody knows who asks: no key, or one that opens nothing
    |- TooOften              more requests than are allowed
    |- NotAllowed            it is known who asks, and this is not for them
    |- FromElsewhere         a page of another site asks in the name of somebody signed in here
    `- Outdated              a thing was made by another version, and this one would say something else

Errors carry places and facts, never an HTTP status: riskapi/web/problems.py alone maps them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing that is wrong: where it is, what is wrong there, and how to mend it."""

    place: str
    message: str
    mend: str

    def __str__(self) -> str:
        return f"{self.place}: {self.message} {self.mend}".strip()


class RiskapiError(Exception):
    """Root of the tree."""


class InputError(RiskapiError):
    """What was handed in is at fault. `faults` holds all that were found, in the order of their places."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class CaseError(InputError):
    """A case is at fault."""


class Unreadable(CaseError):
    """The case is no JSON text (RFC 8259) or is longer than is read; nothing in it could be looked at."""


class FindingsClash(CaseError):
    """The findings cannot be true together: their probability under the model is zero."""


class PhotoError(InputError):
    """A picture is at fault."""


class HeaderError(InputError):
    """A header of a request is at fault."""


class KnowledgeError(InputError):
    """A knowledge pack is at fault."""


class TooComplex(RiskapiError):
    """The exact computation would outgrow its limit. `causes` are ids of what hangs together too closely; `faults` name
    the findings that make it so, with their places, once it is known which they are."""

    def __init__(self, message: str, causes: Iterable[str] = (), faults: Iterable[Fault] = ()) -> None:
        self.message = message
        self.causes: tuple[str, ...] = tuple(causes)
        self.faults: tuple[Fault, ...] = tuple(faults)
        super().__init__(message)


class NotFound(RiskapiError):
    """Nothing of this kind has this id."""

    def __init__(self, kind: str, identifier: str) -> None:
        self.kind = kind
        self.identifier = identifier
        super().__init__(f"no {kind} has the id {identifier!r}")


class KeyReused(RiskapiError):
    """An idempotency key that came with another body before."""

    def __init__(self, key: str) -> None:
        self.key = key
        super().__init__(f"the idempotency key {key!r} was used for another body")


class Overtaken(RiskapiError):
    """What was to be followed up is no longer the latest version."""

    def __init__(self, kind: str, identifier: str) -> None:
        self.kind, self.identifier = kind, identifier
        super().__init__(f"another version of the {kind} {identifier!r} came in between")


class NothingNewer(RiskapiError):
    """The knowledge pack and the program are still those that made it."""

    def __init__(self, kind: str, identifier: str) -> None:
        self.kind, self.identifier = kind, identifier
        super().__init__(f"the {kind} {identifier!r} was made with the knowledge pack and the program in use")


class NotPublishable(RiskapiError):
    """An assessment cannot be shown to the public; `fault` says why, and how to mend it."""

    def __init__(self, fault: Fault) -> None:
        self.fault = fault
        super().__init__(str(fault))


class TooMany(RiskapiError):
    """More than `most` of a kind in a day."""

    def __init__(self, kind: str, most: int) -> None:
        self.kind, self.most = kind, most
        super().__init__(f"at most {most} {kind} a day")


class NoKey(RiskapiError):
    """It is not known who asks. `shown`: a key was shown, but it is unknown, revoked or has expired."""

    def __init__(self, shown: bool) -> None:
        self.shown = shown
        super().__init__("the key opens nothing" if shown else "a key is needed")


class NotAllowed(RiskapiError):
    """The role of who asks does not allow it; `roles` are those that do."""

    def __init__(self, role: str, roles: Iterable[str]) -> None:
        self.role = role
        self.roles: tuple[str, ...] = tuple(sorted(roles))
        super().__init__(f"{role} may not do this; {', '.join(self.roles)} may")


class FromElsewhere(RiskapiError):
    """A browser asks for a change, and nothing shows that a page of this server made it ask."""


class TooOften(RiskapiError):
    """More requests than are allowed, of an account or of an address; in so many seconds there is room again."""

    def __init__(self, kind: str, seconds: int) -> None:
        self.kind, self.seconds = kind, seconds
        super().__init__(f"too many requests of one {kind}")


class Outdated(RiskapiError):
    """What is kept was made by `version` of the program, and this one would say something else of it: so it says
    nothing."""

    def __init__(self, kind: str, identifier: str, version: str) -> None:
        self.kind, self.identifier, self.version = kind, identifier, version
        super().__init__(
            f"the {kind} {identifier!r} was made by version {version}, and this version comes to another result: "
            f"print it with version {version}, or ask for a new version of it"
        )
