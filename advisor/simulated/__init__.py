"""What `advisor simulate` is made of: planted causes -> parts -> recording, readings, answers."""
