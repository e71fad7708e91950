"""Spanish messages, invented for these tests, and what each asks for."""

REQUESTS = {
    "next": [
        "¿Siguiente?",
        "qué toca hoy",
        "¿y ahora qué?",
        "el plan de hoy, por favor",
        "¿Cuándo entreno otra vez?",
        "próxima sesión",
        "hola, ¿qué me toca?",
        "qué hago ahora",
        "¿sesión?",
        "cuál es el plan para hoy",
    ],
    "hang": [
        "¿cinturón?",
        "qué cuelgo",
        "y ¿qué cuelgo en la segunda serie?",
        "¿Qué discos pongo?",
        "qué va en el cinturón hoy",
    ],
    "heavy": ["¿cuánto?", "cuánto peso", "qué lastre llevo hoy", "¿cuántos kilos?", "con cuánto caliento"],
    "why": ["¿por qué?", "por qué tan ligero hoy", "¿Por qué 7,5?", "¿y por qué una serie menos?", "motivo, por favor"],
    "record": ["registro", "qué he apuntado", "¿Qué llevo hoy?", "mis series", "qué has apuntado hasta ahora"],
    "back": ["¡Ya he vuelto!", "ya estoy de vuelta", "he vuelto"],
    "stop": ["por hoy ya está", "lo dejo aquí", "vale, he terminado, gracias", "¡Eso es todo!", "hasta aquí por hoy"],
    "help": ["ayuda", "Ayuda, por favor", "¿cómo funciona esto?", "qué sabes hacer", "comandos"],
}
CHAT = [
    "mi plan es descansar toda la semana",
    "la sesión estaba llena hoy",
    "¿por qué no?",
    "porque me apetecía",
    "me gusta tu cinturón nuevo",
    "tienes razón",
    "récord en el trabajo",
    "la próxima vez traigo a un amigo",
    "gracias por la ayuda de ayer",
    "cuánto tráfico había",
    "lo dejo todo por unas vacaciones",
    "otro entreno más y a casa",
    "siguiente parada: la playa",
    "qué risa",
    "nos vemos el lunes",
]
ALARMS = [
    "estoy mareada desde la serie 2",
    "estoy embarazada",
    "dolor en el pecho en la tercera serie",
    "tengo la mano dormida",
    "Me desmayé. Ya estoy sentado.",
    "hormigueo en los dos brazos",
    "noté un chasquido en el hombro",
    "orina oscura desde el martes",
    "tengo los brazos hinchados",
    "el codo me despierta por la noche",
    "no me duele el pecho, pero se me duermen los dedos",
    "casi me desmayo",
    "¡opresión en el pecho!",
    "no siento los dedos",
    "orina color cola esta mañana",
    "debilidad repentina en el brazo izquierdo",
]
CALM = [
    "no me duele el pecho",
    "mañana toca pecho",
    "me he dormido y llego tarde",
    "sin hormigueo hoy",
    "hormigueo en el estómago antes de la prueba",
    "el bebé me despierta por la noche",
    "he dormido mal",
    "los brazos están cansados",
    "turno de noche",
    "me desmayo de risa",
    "no me he desmayado, tranquilo",
    "música a todo volumen",
    "qué dolor de cabeza de examen",
]
ANSWERS = {
    "yes": ["sí", "Si!", "s", "vale", "Sí, al menos una", "claro", "correcto"],
    "no": ["no", "Nop", "ninguna", "No, ninguna", "todo no", "n"],
}
COMMANDS = [
    ("semana", "week", ""),
    ("muestra Ines", "show", ""),
    ("mantén Ines 2 semanas", "hold", "2 semanas"),
    ("tope ines 10", "cap", "10"),
    ("pausa Ines", "pause", ""),
    ("detén a ines", "pause", ""),
    ("reanuda Ines", "resume", ""),
    ("nota Ines barbilla sobre la barra", "note", "barbilla sobre la barra"),
    ("escribe a Ines bien hecho", "write", "bien hecho"),
    ("objetivo Ines fuerza", "aim", "fuerza"),
    ("días Ines lun mié vie", "days", "lun mié vie"),
    ("apto Ines", "clear", ""),
    ("ayuda", "help", ""),
    ("visto bueno para Ines", "clear", ""),
    ("fija Ines 5x5 con 10", "set", "5x5 con 10"),
]
NO_COMMANDS = ["buenas tardes", "la semana fue larga", "quién está", "gracias", "Ines estuvo fuerte"]
AIMS = {"first_pull_up": "primera dominada", "strength": "Fuerza", "muscular_endurance": "fuerza resistencia"}
DAYS = ("lunes, mié y viernes", "mon wed fri")
UNTIL = ("10 días", "2 semanas")
