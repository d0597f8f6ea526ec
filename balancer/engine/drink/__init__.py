"""What a drink holds: liquids, totals, dilution, energy, allergens, what the jigger pours."""
