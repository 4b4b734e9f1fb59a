"""What the program answers, kept field by field, so that a rebuilt house is seen to answer the same."""
