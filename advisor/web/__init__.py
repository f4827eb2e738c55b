"""The page: the same advisor in a browser. It calls the other packages and shows what they say."""
