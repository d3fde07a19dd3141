"""The guides: what each of the four people of a shop does with the book, moment by moment."""

from shop.guide import keeper, machinist, owner, purchasing

GUIDES = (machinist.GUIDE, keeper.GUIDE, purchasing.GUIDE, owner.GUIDE)
