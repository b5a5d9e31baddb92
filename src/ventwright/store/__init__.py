"""Jobs kept: each in a file that a person may edit, or all of them in one database as lists of changes.

``ventwright.store.jobs`` opens the database; it is imported only where it is wanted.
"""

from __future__ import annotations

from ventwright.store.files import Kept, append, load, read_text, write

__all__ = ["Kept", "append", "load", "read_text", "write"]
