"""A shop on a PostgreSQL server: the second home, for several machines. See `ServerHome`.

``address`` what names it; ``line`` the one session, and how it comes back when it drops; ``silence`` how long
an answer is waited for; ``schema`` the tables and their versions; ``session`` one bench's part of it;
``documents`` what is kept, a row a document; ``found`` looking records up; ``hold`` locks, tokens, what
others change; ``mirror`` books, lists and other plain files; ``moving`` from a folder and back.
psycopg comes with ``pip install benchtui[server]``, and is imported only where an address says so.
"""

from benchtui.server.address import is_address
from benchtui.server.home import ServerHome
from benchtui.server.moving import as_folder, to_folder, to_server

__all__ = ["ServerHome", "as_folder", "is_address", "to_folder", "to_server"]
