"""English messages, invented for these tests, and what each asks for."""

REQUESTS = {
    "next": [
        "Next?",
        "what's next",
        "ok, what now?",
        "plan for today please",
        "Coach, what's my next session?",
        "today's session",
        "when do I train again?",
        "so what's the plan today",
        "workout?",
        "hi! next session please",
    ],
    "hang": [
        "hang?",
        "what do I hang",
        "so what do I hang for the second set?",
        "which plates go on?",
        "belt please",
        "What goes on the belt today?",
    ],
    "heavy": ["how heavy?", "how much", "how much weight today", "what weight for the warm-up?", "how many kilos"],
    "why": ["why?", "why so light today", "why 7.5?", "how come it is less", "reason please"],
    "record": ["log", "show my log", "what did I log so far?", "what have I done today", "what's on record for me"],
    "stop": ["that's me for today", "calling it", "ok, done for today, thanks", "That's it!", "I'm finished"],
    "help": ["help", "Help me please", "how does this work?", "what can you do", "commands"],
}
CHAT = [
    "my plan is to rest all week",
    "the session was packed tonight",
    "that's me in the photo",
    "I hang out with them",
    "why not",
    "new record at work",
    "nice belt by the way",
    "log cabin this weekend!",
    "thanks for the help yesterday",
    "next time I bring a friend",
    "that's it with the rain",
    "the reason is my knee brace",
    "see you next week",
    "you are a great help to all of us",
    "long workout queue in the gym",
    "ha, how odd",
]
ALARMS = [
    "got chest pain on the third set",
    "my hand went numb",
    "I fainted after the last one. Sitting now.",
    "pins and needles in both arms",
    "Felt a pop in the elbow.",
    "dark urine since Tuesday",
    "my arms are swollen",
    "elbow wakes me at night",
    "no chest pain, but my fingers are numb",
    "I nearly passed out",
    "tight chest!",
    "can't feel my fingers",
    "cola-coloured urine this morning",
    "sudden weakness in the left arm",
]
CALM = [
    "no chest pain today",
    "hand is not numb any more",
    "chest day tomorrow?",
    "pop music in the gym",
    "something popped up at work",
    "heard a pop song on the way",
    "slept badly",
    "the baby wakes me at night",
    "numbers look good",
    "night session was great",
    "arms are tired",
    "painting the house",
    "no tingling, all good",
]
ANSWERS = {
    "yes": ["yes", "Yep!", "y", "OK", "Yes, at least one", "yeah"],
    "no": ["no", "Nope", "none", "No, none", "all no", "n"],
}
COMMANDS = [
    ("week", "week", ""),
    ("show Ines", "show", ""),
    ("hold Ines 2 weeks", "hold", "2 weeks"),
    ("cap ines 10", "cap", "10"),
    ("pause Ines", "pause", ""),
    ("stop ines", "pause", ""),
    ("resume Ines", "resume", ""),
    ("note Ines chin over the bar", "note", "chin over the bar"),
    ("write Ines well done", "write", "well done"),
    ("aim Ines strength", "aim", "strength"),
    ("days Ines mon wed fri", "days", "mon wed fri"),
    ("clear Ines", "clear", ""),
    ("help", "help", ""),
    ("Tell ines see you", "write", "see you"),
]
NO_COMMANDS = ["good evening", "the week was long", "who is here", "thanks", "Ines did well"]
AIMS = {"first_pull_up": "first pull-up", "strength": "Strength", "muscular_endurance": "muscular endurance"}
DAYS = ("mon wed, Fri", "mon wed fri")
UNTIL = ("10 days", "2 weeks")
