"""The desk: the opened piece as texts with revisions, its answers, and the one worker that makes its paper."""
