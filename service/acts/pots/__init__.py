"""Acts on pots: dose, mix, show the card, observe."""
