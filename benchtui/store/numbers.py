"""Whether the stock numbers in the parcels and those reserved in the shop agree."""

from collections.abc import Iterable, Mapping

Owner = tuple[str, str]


def number_faults(reserved: Mapping[str, Owner], used: Iterable[tuple[str, str, str]]) -> list[str]:
    """A line each: a number on two records, one not reserved for its record, a gap in a series.

    ``reserved``: number -> parcel and record. ``used``: number, parcel, record of every record that has one.
    """
    faults: list[str] = []
    seen: dict[str, Owner] = {}
    for number, parcel, record in used:
        if number in seen:
            first_parcel, first = seen[number]
            faults.append(f"{number} is on record {record} of {parcel} and on {first} of {first_parcel}")
        elif reserved.get(number) != (parcel, record):
            faults.append(f"{number} of record {record} in {parcel} was not reserved for it")
        seen.setdefault(number, (parcel, record))
    series: dict[str, list[int]] = {}
    for number in reserved:
        series.setdefault(number[0], []).append(int(number[1:]))
    for letter, counts in sorted(series.items()):
        missing = sorted(set(range(1, max(counts) + 1)) - set(counts))
        if missing:
            faults.append(
                f"series {letter} is missing {len(missing)} numbers, the first {letter}{missing[0]:05d}"
            )
    return faults
