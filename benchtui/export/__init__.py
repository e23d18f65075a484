"""What leaves the shop: files, papers, descriptions, reports.

Nothing is imported here, so that the bench starts without it.

``run``          every export by its name: the front for the command line and the bench
``command``      the options of ``benchtui export``
``gather``       from an open shop to items (head, record, sender's name, weighing); ``weigher``
``intake`` ``chores`` ``slips`` ``money_tables`` ``regrade``    tables
``describe`` ``template``    title line and paragraph; ``layout`` ``laying_out``    the dealer's own columns
``report``       the parcel's and the sender's report, HTML
``table`` ``csvfile`` ``files`` ``page`` ``code128``    tables, CSV, whole files, pages, bars
"""
