"""German messages, invented for these tests, and what each asks for."""

REQUESTS = {
    "next": [
        "Nächste?",
        "was kommt als Nächstes",
        "und was jetzt?",
        "Plan für heute bitte",
        "was steht heute an?",
        "nächste Einheit",
        "Wann trainiere ich wieder?",
        "wie sieht der Plan aus",
        "Einheit?",
        "Hallo, was nun?",
    ],
    "hang": [
        "Gürtel?",
        "was hänge ich an",
        "und was hänge ich dran beim zweiten Satz?",
        "Welche Scheiben brauche ich?",
        "Was kommt heute an den Gürtel?",
    ],
    "heavy": ["wie schwer?", "Wie viel", "wieviel heute", "welches Gewicht nehme ich", "wie viele Kilo denn"],
    "why": ["warum?", "Wieso so leicht heute", "warum 7,5?", "Weshalb ein Satz weniger", "Grund?"],
    "record": [
        "Protokoll",
        "was habe ich heute gemacht",
        "Was ist eingetragen?",
        "zeig mir meine Sätze",
        "was hast du notiert",
    ],
    "stop": [
        "Das war's für heute",
        "fertig für heute",
        "ok, ich höre auf, danke",
        "Feierabend!",
        "bin durch",
        "genug für heute",
    ],
    "help": ["Hilfe", "Hilfe bitte", "wie funktioniert das hier?", "Was kannst du", "Befehle"],
}
CHAT = [
    "mein Plan ist, morgen auszuschlafen",
    "die Einheit war voll heute",
    "warum nicht",
    "der Gürtel gefällt mir",
    "neuer Rekord im Büro",
    "nächste Woche bin ich in Wien",
    "das war's mit dem Regen",
    "ich hänge im Stau",
    "danke für die Hilfe gestern",
    "der Grund ist mein Zug",
    "Feierabendverkehr, bin spät",
    "wie viel los ist hier!",
    "das Training macht Laune",
    "ich war nie der Schnellste",
    "schönes Protokoll vom Verein bekommen",
]
ALARMS = [
    "Brustschmerzen beim dritten Satz",
    "meine Hand ist taub",
    "Ich bin umgekippt. Sitze jetzt.",
    "Kribbeln in beiden Armen",
    "es hat geknallt in der Schulter",
    "dunkler Urin seit Dienstag",
    "meine Arme sind angeschwollen",
    "der Ellbogen weckt mich nachts",
    "keine Brustschmerzen, aber Finger taub",
    "mir wurde schwarz vor Augen",
    "Enge in der Brust!",
    "ich habe kein Gefühl in den Fingern",
    "Urin wie Cola",
    "plötzlich keine Kraft im linken Arm",
]
CALM = [
    "keine Brustschmerzen heute",
    "die Hand ist nicht taub",
    "morgen ist Brusttraining",
    "die Tür hat geknallt",
    "Kribbeln im Bauch vor dem Test",
    "eine Taube auf der Stange",
    "das Baby weckt mich nachts",
    "schlecht geschlafen",
    "die Arme sind müde",
    "Nachtschicht gehabt",
    "kein Kribbeln mehr",
    "Schmerz lass nach, war das lustig",
    "die Musik war laut",
]
ANSWERS = {
    "yes": ["ja", "Jo!", "j", "OK", "Ja, mindestens eine", "stimmt", "passt"],
    "no": ["nein", "Nee", "keine", "Nein, keine", "nö", "alles nein"],
}
COMMANDS = [
    ("Woche", "week", ""),
    ("zeig Ines", "show", ""),
    ("halte Ines 2 Wochen", "hold", "2 Wochen"),
    ("Grenze ines 10", "cap", "10"),
    ("Pause Ines", "pause", ""),
    ("stopp ines", "pause", ""),
    ("weiter Ines", "resume", ""),
    ("Notiz Ines Kinn über die Stange", "note", "Kinn über die Stange"),
    ("schreib an Ines gut so", "write", "gut so"),
    ("Ziel Ines Kraft", "aim", "Kraft"),
    ("Tage Ines mo mi fr", "days", "mo mi fr"),
    ("Freigabe Ines", "clear", ""),
    ("Hilfe", "help", ""),
    ("zeige mir Ines", "show", ""),
    ("setze Ines 5x5 mit 10", "set", "5x5 mit 10"),
]
NO_COMMANDS = ["guten Abend", "die Woche war lang", "wer ist da", "danke", "Ines war stark"]
AIMS = {"first_pull_up": "erster Klimmzug", "strength": "Kraft", "muscular_endurance": "Kraftausdauer"}
DAYS = ("Mo, Mi und Freitag", "mon wed fri")
UNTIL = ("10 Tage", "2 Wochen")
