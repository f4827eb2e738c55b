"""The sheet of `advisor recording`: what one recording says, put together for the reports."""
