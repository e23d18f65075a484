"""The sentence that stands on every page and in every file of figures."""

ESTIMATE = "An estimate: the local tax and customs authority and a licensed accountant decide."
