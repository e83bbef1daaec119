"""What every room stands on: quantities, formulas, spread, tables, files. No trade in it."""
