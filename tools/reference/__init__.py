"""The reference pages of docs/, made from the tables in the code, one module each."""
