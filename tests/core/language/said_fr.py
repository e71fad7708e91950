"""French messages, invented for these tests, and what each asks for."""

REQUESTS = {
    "next": [
        "Prochaine ?",
        "c'est quoi la suite",
        "et maintenant ?",
        "le programme du jour s'il te plaît",
        "je fais quoi ?",
        "prochaine séance",
        "Salut, c'est quand la prochaine séance ?",
        "qu’est-ce que je fais aujourd’hui",
        "séance ?",
        "quelle est la prochaine séance",
    ],
    "hang": [
        "ceinture ?",
        "qu'est-ce que j'accroche",
        "et j'accroche quoi à la deuxième série ?",
        "Quels disques je prends ?",
        "je mets quoi à la ceinture",
    ],
    "heavy": ["combien ?", "quel poids", "quelle charge aujourd'hui", "Je mets combien ?", "combien de kilos"],
    "why": [
        "pourquoi ?",
        "pourquoi si léger aujourd'hui",
        "Pourquoi 7,5 ?",
        "et pourquoi une série de moins ?",
        "raison ?",
    ],
    "record": ["carnet", "j'ai noté quoi", "Qu'est-ce que j'ai noté ?", "mes séries", "j'ai fait quoi aujourd'hui"],
    "stop": [
        "c'est tout pour aujourd'hui",
        "je m'arrête là",
        "ok, j'ai fini, merci",
        "Fini pour aujourd’hui !",
        "j'arrête",
    ],
    "help": ["aide", "Aide s'il te plaît", "comment ça marche ?", "tu sais faire quoi", "commandes"],
}
CHAT = [
    "mon programme c'est dormir toute la semaine",
    "la séance était pleine ce soir",
    "pourquoi pas",
    "nouveau record !",
    "jolie ceinture au fait",
    "tu as raison",
    "la prochaine fois j'amène un ami",
    "merci pour ton aide hier",
    "j'ai fini le livre",
    "j'arrête le sucre",
    "la suite au prochain numéro",
    "un plan sympa pour samedi",
    "on se voit lundi",
    "le carnet de mon fils est bon",
    "quel temps",
]
ALARMS = [
    "douleur à la poitrine à la troisième série",
    "j'ai la main engourdie",
    "Je me suis évanouie. Assise maintenant.",
    "des fourmis dans les bras",
    "senti un craquement dans l'épaule",
    "urine foncée depuis mardi",
    "j'ai les bras gonflés",
    "le coude me réveille la nuit",
    "pas mal à la poitrine, mais les doigts engourdis",
    "je suis tombé dans les pommes",
    "oppression dans la poitrine !",
    "je ne sens plus mes doigts",
    "urine couleur cola ce matin",
    "faiblesse soudaine dans le bras gauche",
]
CALM = [
    "pas de douleur à la poitrine",
    "demain c'est pectoraux",
    "je dors mal la nuit",
    "le bébé me réveille la nuit",
    "j'ai des fourmis dans les jambes tellement j'ai hâte",
    "la main n'est pas engourdie",
    "les bras sont fatigués",
    "séance de nuit",
    "quel malaise ce film",
    "aucun fourmillement",
    "la barre a grincé",
    "mal dormi",
    "des pommes dans le sac",
]
ANSWERS = {
    "yes": ["oui", "Ouais !", "o", "d'accord", "Oui, au moins une", "c’est bon", "exact"],
    "no": ["non", "Nan", "aucune", "Non, aucune", "tout non", "n"],
}
COMMANDS = [
    ("semaine", "week", ""),
    ("montre Ines", "show", ""),
    ("maintiens Ines 2 semaines", "hold", "2 semaines"),
    ("plafond ines 10", "cap", "10"),
    ("pause Ines", "pause", ""),
    ("arrête ines", "pause", ""),
    ("reprise Ines", "resume", ""),
    ("note Ines menton au-dessus", "note", "menton au-dessus"),
    ("écris à Ines bien joué", "write", "bien joué"),
    ("objectif Ines force", "aim", "force"),
    ("jours Ines lun mer ven", "days", "lun mer ven"),
    ("apte Ines", "clear", ""),
    ("aide", "help", ""),
    ("feu vert pour Ines", "clear", ""),
    ("fixe Ines 5x5 à 10", "set", "5x5 à 10"),
]
NO_COMMANDS = ["bonsoir", "la semaine a été longue", "qui est là", "merci", "Ines était forte"]
AIMS = {"first_pull_up": "première traction", "strength": "Force", "muscular_endurance": "force endurance"}
DAYS = ("lundi, mer et vendredi", "mon wed fri")
UNTIL = ("10 jours", "2 semaines")
