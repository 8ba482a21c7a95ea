"""Compare ocean sailing routes using average winds by month: how far, how many days, what is met.

    >>> import offing
    >>> answer = offing.Voyage.demo().compare(members=200)
    >>> answer.to_dict()["routes"][0]["name"]
    'Trades'

A :class:`Voyage` is asked, through the winds that come with the package or a :class:`Climate` of one's
own: ``compare``, ``season``, ``shape``, ``stores``, ``legs``, ``years``; :func:`rally` sails many boats,
:func:`atlas` between many ports.
Each gives an answer with the command line's numbers, bit for bit.

It is a planning aid from averages, not a forecast. Check pilot charts, warnings and local rules. The
skipper decides.
"""

from ._answers import (
    Answer,
    Comparison,
    Legs,
    OffingWarning,
    Rally,
    Season,
    Shaping,
    Stores,
    Years,
)
from ._atlas import AtlasError, atlas
from ._climate import Climate
from ._offing import OffingError
from ._rally import rally
from ._voyage import Voyage

__all__ = [
    "Answer",
    "AtlasError",
    "Climate",
    "Comparison",
    "Legs",
    "OffingError",
    "OffingWarning",
    "Rally",
    "Season",
    "Shaping",
    "Stores",
    "Voyage",
    "Years",
    "atlas",
    "rally",
]
