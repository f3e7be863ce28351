"""Rules about supplies, PoE, cords and circuits."""
