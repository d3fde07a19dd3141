"""The sums behind the rules of holding: weight, bending, whirl, balance, walls, tapers, throws. They know no crib."""
