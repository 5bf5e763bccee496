"""Named tuples made quickly: ``named(Chance, (0.5, None))`` is ``Chance(0.5, None)``.

Calling the class takes two to five times as long, and a large family has some of them for each
person.  Only where that counts, since nothing is checked and every field must be given.
"""

from typing import Any

named: Any = tuple.__new__
