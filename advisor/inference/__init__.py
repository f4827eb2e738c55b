"""Evidence -> probability of every cause at every place, exact, with the weight of each finding."""
