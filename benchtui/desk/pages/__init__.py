"""The pages over the record, a file each: what a page holds, as data (see shape.py). No drawn rows."""
