"""The shop on the disk: durable, shared by several benches, with history. See `Shop` and `Parcel`.

From the disk upwards, each layer knowing only those before it:

* ``files`` every system call, replaceable, so that tests can fail or tear any of them; ``place`` the names of
  a kept file and its side files; ``lock`` who has it, ``saved_position`` how far it goes.
* ``codec`` strict JSON; ``log`` one line a change with its checksum; ``load`` main file, else previous
  copy, then the logs; ``versions`` where these are not of one piece; ``copies`` what other programs left
  beside them; ``migrate`` from older schemas; ``writer`` one appended line, or the whole file anew;
  ``storage`` the TinyDB storage class with transactions; ``tables`` TinyDB tables with text ids.
* ``shape`` what documents must look like; ``diff``, ``change``, ``history`` actions that can be undone;
  ``parcel`` one parcel file.
* ``presence`` whether the folder is still the shop that was opened.
* ``shared`` shop.json and titles.json, which benches share, with what is ``pending`` for them while the disk
  takes nothing; ``unsaved`` what is in memory only; ``stock`` numbers; ``known`` settings, people, titles,
  sales; ``watch``, ``index``, ``rows``, ``counts`` caches over all parcels that can be made again at
  any time; ``moves`` parts between parcels; ``shop`` all of it; ``backup``.

A kept file ``x.json``: first line schema, generation, count of changes and a checksum of all the rest, then
one document a line. Beside it in ``.keep``: ``x.json.log`` the changes since (applied when it is opened,
folded in when it grows and at closing), ``x.json.previous`` and ``x.json.log.previous`` the file before and
what led from it to the present one, ``x.json.lock`` who has it and how far it goes; what was set aside:
``.damaged-1``, ``.foreign-1`` (somebody put it in the place of a file that was open), ``.other-1`` (the
version of two that was not chosen), ``.schema-1-1``. A file edited by hand is read once the ``"sum"`` in its
first line is taken out.
"""

from benchtui.store.change import Change
from benchtui.store.entries import Summary
from benchtui.store.files import DISK, Files
from benchtui.store.history import Entry
from benchtui.store.lock import Held, ParcelHeld
from benchtui.store.moves import move_part, split_record
from benchtui.store.parcel import Parcel
from benchtui.store.rows import Found, Had, Waiting
from benchtui.store.shared_facts import DEFAULTS
from benchtui.store.shop import Shop
from benchtui.store.unsaved import Unsaved
from benchtui.store.versions import TwoVersions, Version, Which

__all__ = [
    "DEFAULTS",
    "DISK",
    "Change",
    "Entry",
    "Files",
    "Found",
    "Had",
    "Held",
    "Parcel",
    "ParcelHeld",
    "Shop",
    "Summary",
    "TwoVersions",
    "Unsaved",
    "Version",
    "Waiting",
    "Which",
    "move_part",
    "split_record",
]
