"""From the floor to numbers: time studies, activity samples, counts, event logs. Pure computing, besides the readers of files."""
