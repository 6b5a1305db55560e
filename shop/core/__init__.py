"""What every app stands on: quantities in the database, codes on labels, refusals."""
