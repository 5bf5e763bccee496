"""The measures of a page of text, in characters, by which tables are laid out and then set."""

WIDTH = 80
#: By which a table under a marked paragraph moves in.
TABLE_INDENT = 5
#: Blank columns between two columns of a table.
GUTTER = 3
#: Room in which a sentence does not wrap after every word.
COMFORTABLE = 26
