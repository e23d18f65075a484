"""The parcel as a whole: its page, its result, closing it, handing on."""
