"""The part in the hand: taking it, what its grade makes of the price."""
