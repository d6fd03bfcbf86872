"""From the tables in `data` to rows, one module per room."""
