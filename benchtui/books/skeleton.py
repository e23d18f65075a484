"""The commented skeleton that ``benchtui book new`` writes: every kind of entry once, to be filled in."""

from benchtui.books.text import text_value

_EXAMPLE = """\
# A clue: one thing that can be seen on one kind of part, with at most ten answers. The answers take the
# digits 1, 2, 3 ... in their order; give `digit` where one must stay. Records keep ids: never change one.
#
# [[clue]]
# id = "PREFIX-label"            # unique over all books, so begin it with letters of this book
# ask = "Label paper"            # what the dealer is asked, in a few words
# part = "disc"                  # disc cover box inner wrap extra
# place = "label"                # label runout front back spine inside hole whole ...
# per_side = true                # asked of side A; can be volunteered for the others
# seconds = 2                    # how long it takes to look
# group = "PREFIX-label"         # clues that repeat each other share a group
# # form = "number" with unit = "g" or "copy": the answers are brackets, low to high
# # form = "titles": the titles advertised;  form = "cut": the cut read in the runout
# # countries, companies, sizes, materials, titles = [...] narrow where it is asked
# # volunteer = true: asked only when jumped to
#
# [[clue.answer]]
# id = "sailcloth"
# text = "black print on sailcloth"
# made = "[1972-04..1977-10]"    # when a part that shows this was made; leave out where it says nothing
# hardness = "firm"              # hard (law, physics), firm (leaks by half a year), soft (custom)
# to_hardness = "soft"           # of the latest end, where it is softer: plates and stock outlive a rule
# looks_like = "linen"          # what it is taken for when misread
# source = "from memory"         # where you know it from
#
# [[clue.answer]]
# id = "linen"
# text = "black print on linen"
#
# [[clue.answer]]
# id = "none"
# text = "no label"
# digit = 0
# absent = true                  # you looked, and it is not there;  neutral = true: cannot tell
#
# Ten different letters that stand for digits in the stamper letters of the runout.
#
# [[cipher]]
# id = "PREFIX-stamper"
# letters = "DUNVERSHAL"
# digits = "0123456789"
# source = "from memory"
#
# Catalogue numbers that were first issued in a certain time.
#
# [[numbering]]
# prefix = "AB"
# low = 1000
# high = 1099
# first = "[1973..1974]"
#
# A title and its pressings. Words: always, usually, sometimes, rarely, never.
#
# [[title]]
# id = "PREFIX-0001"
# artist = "Artist"
# title = "Title"
# first = "1974-09"
# catalogues = ["AB 1041"]
# stems = { A = "AB 1041 A/", B = "AB 1041 B/" }   # the runout before the cut
# extras = ["poster"]
# box = true                     # it came in a box, not in a cover
# cipher = "PREFIX-stamper"
# complete = "most"              # of its pressings this book has all, most or some
#
# [[title.pressing]]
# id = "PREFIX-0001/1"
# name = "first, sailcloth label"
# period = "[1974-09..1975-07]"
# kind = "ordinary"              # ordinary promotional test lacquer club export counterfeit pirate
# share = 3                      # of all copies, against the shares of the others
# price = "24.00"                # at the top grade, in the book's currency
# extras = ["poster"]
# cuts = [["1", "1", "usually"], ["2", "1", "sometimes"]]
# [title.pressing.expect]
# PREFIX-label = { sailcloth = "usually", linen = "rarely" }
#
# An answer or a pressing added to what stands in another book.
#
# [[add]]
# title = "PREFIX-0001"
#
# [[add.pressing]]
# id = "PREFIX-0001/2"
# name = "second, linen label"
# period = "[1975-08..1979]"
# expect.PREFIX-label = "linen"
"""


def skeleton(name: str, *, company: str = "", country: str = "", currency: str = "GBP") -> str:
    """The text of a new book. Take the ``# `` away from what you fill in; ``benchtui check`` tells slips."""
    prefix = "".join(letter for letter in name.lower() if letter.isascii() and letter.isalnum())[:6] or "own"
    head = [
        f"# {' '.join(name.split())}: a book of clues, titles and pressings for the bench.",
        "# Spans are EDTF: 1972, 1972-04, [1972-04..1977-10], [1971..], [..1977], [1972,1975], 197X.",
        "# 1972~ is about 1972, 1972? perhaps: soft. 1972-24 is the winter that begins in December 1972.",
        "",
        "[book]",
        f"name = {text_value(name)}",
        "# The company whose titles and clues these are; empty for a country's book.",
        f"company = {text_value(company)}",
        "# ISO 3166 code of two letters.",
        f"country = {text_value(country)}",
        "# ISO 4217 code of the prices in this book.",
        f"currency = {text_value(currency)}",
        "",
    ]
    return "\n".join(head) + "\n" + _EXAMPLE.replace("PREFIX", prefix)
