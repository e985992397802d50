"""One file per step. A step that was released is never edited: a change of layout is a new file.

There is no way back down: steps only ever add, and the way back to an older program is the backup.
"""
