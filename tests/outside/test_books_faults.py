"""Every fault, severity and scale with the highest grade it allows, written out.

Ground of the whole table: common practice, no source. No published list says grade by grade what a fault
allows; the published criteria only say, for each grade, what may and may not be there. The table stands here
a second time so that no ceiling moves by a slip in faults.toml.
"""

import pytest

from benchtui.books.faults import ceiling_of, load_faults
from benchtui.books.scales import load_scales
from benchtui.model.record import FaultDoc

FAULTS = load_faults()
SCALES = load_scales()

# fault, severity, highest grade under the American scale, under the British
TABLE = [
    ("hairlines", "few", "NM", "EX+"),
    ("hairlines", "many", "VG+", "EX"),
    ("hairlines", "all-over", "VG", "VG"),
    ("scuffs", "light", "VG+", "EX"),
    ("scuffs", "several", "VG", "VG"),
    ("scuffs", "heavy", "G+", "G"),
    ("scratch", "silent", "VG+", "EX-"),
    ("scratch", "ticks-3", "VG", "VG"),
    ("scratch", "ticks-10", "VG-", "VG-"),
    ("scratch", "ticks-more", "G+", "G"),
    ("scratch", "skips", "F", "P"),
    ("wear", "slight", "VG+", "EX-"),
    ("wear", "plain", "VG", "VG"),
    ("wear", "grey", "G", "F"),
    ("noise", "quiet", "VG+", "EX-"),
    ("noise", "throughout", "VG", "VG"),
    ("noise", "loud", "G", "F"),
    ("pressing-fault", "seen", "NM", "EX+"),
    ("pressing-fault", "heard", "VG+", "EX-"),
    ("pressing-fault", "long", "VG", "VG"),
    ("off-centre", "slight", "NM", "EX+"),
    ("off-centre", "heard", "VG", "VG"),
    ("warp", "mm-2", "VG+", "EX"),
    ("warp", "mm-5", "VG", "VG"),
    ("warp", "mm-more", "G", "F"),
    ("warp", "unplayable", "P", "B"),
    ("edge-chip", "rim", "VG", "VG"),
    ("edge-chip", "lead-in", "G", "G"),
    ("edge-chip", "music", "P", "B"),
    ("crack", "tight", "VG-", "VG-"),
    ("crack", "ticks", "G", "F"),
    ("crack", "through", "P", "B"),
    ("spindle-wear", "few", "NM", "EX+"),
    ("spindle-wear", "many", "VG+", "EX-"),
    ("spindle-wear", "heavy", "VG", "VG"),
    ("hole", "widened", "VG", "VG"),
    ("hole", "cut", "VG-", "VG-"),
    ("hole", "rough", "G", "G"),
    ("label-writing", "small", "VG+", "EX-"),
    ("label-writing", "large", "VG", "VG"),
    ("label-sticker", "small", "VG+", "EX"),
    ("label-sticker", "large", "VG", "VG"),
    ("label-tear", "small", "VG+", "EX-"),
    ("label-tear", "large", "VG-", "VG-"),
    ("label-stain", "slight", "VG+", "EX"),
    ("label-stain", "heavy", "VG", "VG"),
    ("drill", "hole", "VG+", "EX"),
    ("dust", "loose", "NM", "EX+"),
    ("dust", "greasy", "VG+", "EX-"),
    ("residue", "spot", "VG+", "EX-"),
    ("residue", "patch", "VG", "VG"),
    ("misting", "faint", "VG+", "EX-"),
    ("misting", "heard", "VG-", "VG-"),
    ("mould-disc", "spots", "VG", "VG"),
    ("mould-disc", "grown", "G", "F"),
    ("bloom", "thin", "VG+", "EX-"),
    ("bloom", "thick", "VG", "VG"),
    ("crazing", "hair", "G", "F"),
    ("crazing", "flakes", "P", "B"),
    ("seam-split", "cm-2", "VG+", "EX"),
    ("seam-split", "cm-8", "VG", "VG"),
    ("seam-split", "cm-more", "G+", "G"),
    ("seam-split", "through", "G", "F"),
    ("ring-wear", "faint", "VG+", "EX"),
    ("ring-wear", "plain", "VG", "VG"),
    ("ring-wear", "through", "G+", "G"),
    ("corners", "bumped", "NM-", "EX"),
    ("corners", "rubbed", "VG+", "EX-"),
    ("corners", "frayed", "VG", "VG"),
    ("spine", "worn", "VG+", "EX"),
    ("spine", "partly", "VG", "VG"),
    ("spine", "gone", "G+", "G"),
    ("lamination", "cm-3", "VG+", "EX"),
    ("lamination", "cm-10", "VG", "VG"),
    ("lamination", "cm-more", "G+", "G"),
    ("writing", "small", "VG+", "EX-"),
    ("writing", "large", "VG", "VG"),
    ("writing", "all-over", "G+", "G"),
    ("sticker", "loose", "NM", "EX+"),
    ("sticker", "fast", "VG+", "EX"),
    ("sticker", "torn", "VG", "VG"),
    ("tape", "clear", "VG", "VG"),
    ("tape", "wide", "G+", "G"),
    ("damp", "damp", "G", "F"),
    ("stain", "small", "VG+", "EX-"),
    ("stain", "large", "VG", "VG"),
    ("stain", "wavy", "G", "F"),
    ("tear", "cm-1", "VG+", "EX-"),
    ("tear", "cm-5", "VG", "VG"),
    ("tear", "cm-more", "G+", "G"),
    ("tear", "missing", "G", "F"),
    ("crease", "light", "VG+", "EX"),
    ("crease", "hard", "VG", "VG"),
    ("cut", "small", "VG+", "EX"),
    ("cut", "large", "VG", "VG"),
    ("flap", "lifted", "VG+", "EX-"),
    ("flap", "repaired", "VG+", "EX-"),
    ("flap", "botched", "VG-", "VG-"),
    ("flap", "off", "G+", "G"),
    ("glue", "spot", "VG+", "EX"),
    ("glue", "patch", "VG", "VG"),
    ("fading", "slight", "VG+", "EX"),
    ("fading", "strong", "VG", "VG"),
    ("bitten", "edge", "VG-", "VG-"),
    ("bitten", "deep", "G", "F"),
    ("bowed", "slight", "VG+", "EX"),
    ("bowed", "strong", "VG", "VG"),
    ("mould-cover", "spots", "VG-", "G+"),
    ("mould-cover", "spread", "G", "F"),
    ("smell", "faint", "VG+", "EX-"),
    ("smell", "strong", "VG", "VG"),
    ("box-corner", "one", "VG", "VG"),
    ("box-corner", "more", "G+", "G"),
    ("box-hinge", "started", "VG", "VG"),
    ("box-hinge", "off", "G+", "G"),
    ("inner-split", "cm-5", "VG+", "EX"),
    ("inner-split", "cm-15", "VG", "VG"),
    ("inner-split", "through", "G+", "G"),
    ("paper-tear", "cm-1", "VG+", "EX-"),
    ("paper-tear", "cm-5", "VG", "VG"),
    ("paper-tear", "cm-more", "G+", "G"),
    ("paper-tear", "missing", "G", "F"),
    ("paper-crease", "light", "VG+", "EX"),
    ("paper-crease", "hard", "VG", "VG"),
    ("paper-writing", "small", "VG+", "EX-"),
    ("paper-writing", "large", "VG", "VG"),
    ("paper-stain", "small", "VG+", "EX-"),
    ("paper-stain", "large", "VG", "VG"),
    ("paper-fading", "slight", "VG+", "EX"),
    ("paper-fading", "strong", "VG", "VG"),
    ("paper-tape", "clear", "VG", "VG"),
    ("paper-tape", "wide", "G+", "G"),
    ("paper-cut", "trimmed", "VG+", "EX-"),
    ("paper-cut", "coupon", "VG", "VG"),
    ("pinholes", "corners", "VG+", "EX-"),
    ("pinholes", "torn", "VG", "VG"),
    ("wrap-open", "opened", "VG+", "EX"),
    ("wrap-open", "part", "G+", "G"),
    ("paper-mould", "spots", "VG-", "G+"),
    ("paper-mould", "spread", "G", "F"),
    ("paper-smell", "faint", "VG+", "EX-"),
    ("paper-smell", "strong", "VG", "VG"),
]


def test_the_table_holds_every_fault_and_severity() -> None:
    listed = [(fault, severity) for fault, severity, _, _ in TABLE]
    assert listed == [(fault.id, severity.id) for fault in FAULTS for severity in fault.severities]


@pytest.mark.parametrize(("fault", "severity", "american", "british"), TABLE)
def test_a_fault_allows_no_more_than_common_practice(
    fault: str, severity: str, american: str, british: str
) -> None:
    noted: FaultDoc = {"fault": fault, "severity": severity, "place": "", "at": ""}
    for scale, allowed in (("american", american), ("british", british)):
        found = ceiling_of([noted], SCALES[scale], FAULTS)
        assert found is not None
        assert found.grade + found.shade == allowed


def test_every_ceiling_says_that_its_ground_is_common_practice() -> None:
    for fault in FAULTS:
        for severity in fault.severities:
            assert severity.ground.startswith("common practice, no source"), (fault.id, severity.id)
