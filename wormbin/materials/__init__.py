"""Floor 2: the sourced material table: what each bedding, feed and amendment is made of, and what is kept out."""
