"""One module for each chart of a report; `figures` gathers them, `plane` holds what those with two axes share."""
