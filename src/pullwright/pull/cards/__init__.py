"""Cards: how many go round in each loop, with how many pieces each, when a lot is asked for, and what one cap for the whole flow would be."""
