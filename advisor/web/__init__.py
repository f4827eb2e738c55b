"""The page: the same advisor in a browser. Thin: it calls the other packages and shows what they say."""
