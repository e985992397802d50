"""The path kernel: plain lines as a recursion from piece to piece, eight runs side by side."""
