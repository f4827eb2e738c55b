"""The walk through one case at the truck: next step, answer, new ranking; every answer is saved."""
