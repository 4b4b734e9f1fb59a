"""Floor 4: castings after the harvest: lots and their steps, stock, sales and uses, where a bag came from, yields."""
