"""One file a command: `parser(name)` describes it, `run(options)` does it and gives the exit code."""
