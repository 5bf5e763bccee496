"""Documents as plain data: words, tables and figures that know no output format."""
