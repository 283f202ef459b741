"""Five rules on one set of rows, by hand-written Python, by this project and by general-purpose libraries."""
