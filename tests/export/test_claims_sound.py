"""Mono or stereo in a description: as it was seen on disc and cover, else as the record has it."""

from types import SimpleNamespace

import pytest
from claimed import ANSWER, said

DISC = ANSWER | {"clue": "word"}
COVER = ANSWER | {"part": "c1", "place": "front", "clue": "edge"}


@pytest.mark.parametrize(
    ("answers", "record_says", "text"),
    [
        ([DISC | {"text": "Word for the sound: stereo"}], "both", "stereo"),
        ([DISC | {"text": "The label says: nothing of channels: a mono disc"}], "stereo", "mono"),
        (
            [
                DISC | {"text": "Word for the sound: mono"},
                COVER | {"text": "Top edge: STEREO on a pasted strip"},
            ],
            "mono",
            "mono disc, stereo cover",
        ),
        ([COVER | {"text": "Top edge: STEREO printed"}], "both", ""),
        ([COVER | {"text": "Top edge: STEREO printed"}], "mono", "mono"),
        ([DISC | {"text": "Word for the sound: stereo", "how": "copied"}], "mono", "mono"),
        ([DISC | {"text": "Word: mono or stereo", "also": ["stereo"]}], "both", ""),
    ],
)
def test_channels_are_said_as_seen(
    make: SimpleNamespace, answers: list[dict[str, object]], record_says: str, text: str
) -> None:
    assert said(make, "channels", make.record(answers=answers, channels=record_says)) == text
