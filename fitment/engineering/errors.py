"""What the engineering functions refuse.

EngineeringError (a ValueError)
├── BadClass        a tolerance class that ISO 286 does not have, or not for this size
├── BadTaper        a taper not written as one to something
├── BadGeometry     sizes that cannot be: an eye thinner than its bore, a housing wider than its outside
├── BadSample       a sample that says nothing: no pieces, a negative spread
└── SingularCorner  a suspension whose forces or positions no arrangement of its links decides
"""


class EngineeringError(ValueError):
    """Anything that the engineering functions refuse."""


class BadClass(EngineeringError):
    """A tolerance class that ISO 286 does not have, or not for this size."""


class BadTaper(EngineeringError):
    """A taper that is not written as one to something."""


class BadGeometry(EngineeringError):
    """Sizes that no real piece can have."""


class BadSample(EngineeringError):
    """A sample that says nothing."""


class SingularCorner(EngineeringError):
    """A suspension whose forces or positions its links do not decide."""
