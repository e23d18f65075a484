"""The pages over the record, a file each: what a page holds, as data (core/page_parts.py)."""
