"""How the layout of the record came to be, step by step; run by `pullwright.record.layout`, never by hand."""
