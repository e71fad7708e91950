"""The coach's judgement: pure functions on frozen values. No clock, no network, no SQL."""
