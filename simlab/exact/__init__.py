"""Exact algebra: field elements, elimination, textbook forms. It knows no mechanics."""
