"""Floor 4: findings: what is wrong, why, what to do with amounts, and how sure; and what a feeding would do."""
