"""Head checks of the first version: their bytes stay, and they are read as now."""

from __future__ import annotations

from rivetwright.record.chain import FIRST, digest_of, read_entry, verify
from rivetwright.record.fact import as_json, canonical, read_fact
from rivetwright.record.fold import fold
from rivetwright.record.kinds import HeadChecked, HeadDecided
from tests.contract.test_store import PROJECT, Open, fact

# As the first version wrote it: five fields, and looks by shorter words.
BODY_1 = {
    "holes": ["row:1-2"],
    "width_mm": 5.207,
    "height_mm": 1.4732,
    "looks": ["leans", "gap", "cut", "low"],
    "note": "by the door",
}
NOW = HeadChecked(
    ("row:1-2",),
    5.207,
    1.4732,
    ("leans", "gap under the shop head", "head cut", "low"),
    "by the door",
)
CHECK = HeadChecked(
    holes=("row:1",),
    width_mm=5.2,
    height_mm=1.6,
    looks=("off centre",),
    note="note",
    gauge=(("least width", True, 4.1402), ("most height", False, None)),
    offset_mm=0.25,
    lean_deg=2.5,
    proud_mm=0.05,
    gap_mm=0.05,
    gap_share=0.25,
    mark_mm=0.1,
    collar_mm=0.2,
    hole_mm=3.3,
    is_confirmed=True,
    squeezer="pneumatic squeezer",
    yoke="Y1",
    dies=("ram cup 6.35 mm",),
    shims_mm=(0.5, 0.25),
    die_gap_mm=6.1,
    pressure_kpa=586.0,
    is_stalled=True,
    tin="T-4",
)
DECIDED = HeadDecided(
    holes=("row:1",),
    decision="squeeze again",
    reason="high",
    advised="squeeze again",
    check="1" * 32,
    causes=("not set far enough",),
    sources=("own rule; JUDGEMENT",),
    shim_more_mm=0.33,
)


def test_first_version_is_read_as_the_second() -> None:
    """Two looks have another word now; what nobody measured then is not measured."""
    said = as_json(fact(1)) | {"kind": "head-checked", "version": 1, "body": BODY_1}
    assert read_fact(said).body == NOW


def test_stored_check_of_the_first_version_keeps_its_digest() -> None:
    """What is hashed is what was stored, not what it is read as."""
    said = as_json(fact(1)) | {"kind": "head-checked", "version": 1, "body": BODY_1}
    stored = canonical(
        {
            "entry": 1,
            "seq": 1,
            "previous": FIRST,
            "arrived": "2026-11-25T19:00:00.000Z",
            "behind_ms": 0,
            "fact": said,
        }
    )
    entry = read_entry(stored)
    assert entry.fact.body == NOW
    assert (entry.stored, entry.digest) == (stored, digest_of(stored))


def test_second_version_comes_back_as_it_was_put(opened: Open) -> None:
    """Every field of a check and of a decision, through either database."""
    store = opened()
    put = [fact(1), fact(2, body=CHECK), fact(3, body=DECIDED)]
    store.append(put)
    store.close()
    entries = list(opened().entries(PROJECT))
    assert [one.fact for one in entries] == put
    verify(entries)
    hole = fold(entries).assembly("aileron").hole("row", 1)
    assert hole.heads[0].body == CHECK
    assert hole.heads[0].callout == "MS20470AD4-4"
    assert hole.settled[0].body == DECIDED
