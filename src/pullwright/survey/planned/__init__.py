"""The pull plan as it is told: chapter by chapter, the same for screens, commands and prints."""
