"""Is it right, does it stay right: scores, comparison of packs, sensitivity, learning."""
