"""The shell around the coach's judgement: messengers, storage, delivery, commands."""
