"""The words of plates that go with no number, in several languages."""

from ampwright.nameplate.vocabulary import DELTA, STAR

CONNECTION_WORDS = {
    **dict.fromkeys(("star", "wye", "stern", "étoile", "etoile", "estrela", "estrella"), STAR),
    **dict.fromkeys(("stella", "stjärna", "stjerne", "ster"), STAR),
    **dict.fromkeys(("delta", "mesh", "dreieck", "triangle", "triangulo", "triángulo"), DELTA),
    **dict.fromkeys(("triângulo", "triangolo", "driehoek", "trekant"), DELTA),
}

# one letter or a short code that says how the machine is used; no number goes with it
DUTY_WORDS = {
    **dict.fromkeys(("cont", "continuous", "dauerbetrieb", "continuo", "continu"), "S1"),
    **dict.fromkeys(("contínuo", "time rating cont", "duty cont", "cont duty", "db"), "S1"),
    **dict.fromkeys(("int", "intermittent", "aussetzbetrieb"), "S3"),
}

PHASE_WORDS = {
    **dict.fromkeys(("three phase", "triphasé", "triphase", "drehstrom", "trifásico", "三相"), "3"),
    **dict.fromkeys(("trifasico", "trifase", "trifásica", "draaistroom", "kraftstrom"), "3"),
    **dict.fromkeys(("single phase", "monophasé", "monophase", "monofásico", "単相"), "1"),
    "monofasico": "1",
    **dict.fromkeys(("monofase", "einphasig", "wechselstrom", "two lines"), "1"),
}

# Words that decide what the plate belongs to; the trade words of several languages.
KINDS = {
    **dict.fromkeys(("motor", "moteur", "motore", "mot", "motors", "elektromotor"), "motor"),
    **dict.fromkeys(("compressor", "fan", "pump", "pumpe", "spindle", "feed"), "motor"),
    **dict.fromkeys(("vorschub", "kühlmittel", "kühlmittelpumpe", "hydraulik", "coolant"), "motor"),
    **dict.fromkeys(("heater", "heating", "heaters", "oven", "kiln"), "resistive"),
    **dict.fromkeys(("elements", "heizung", "ofen", "heizelement", "résistance"), "resistive"),
    **dict.fromkeys(("forno", "resistencia", "resistência", "furnace"), "resistive"),
    **dict.fromkeys(("welder", "welding", "mig", "mag", "tig", "mma"), "welder"),
    **dict.fromkeys(("schweissgerät", "schweißgerät", "soudage", "saldatrice", "plasma"), "welder"),
    **dict.fromkeys(("transformer", "trafo", "transformator", "transfo"), "transformer"),
    **dict.fromkeys(("lamp", "lamps", "leuchte", "lampe", "lampen"), "lamp"),
    **dict.fromkeys(("rectifier", "gleichrichter", "charger", "vfd"), "rectifier"),
    **dict.fromkeys(("umrichter", "ladegerät", "redresseur", "cnc"), "rectifier"),
    **dict.fromkeys(("thyristor", "scr"), "thyristor"),
}

#: Words between two figures either of which may be used.
OR = frozenset(("or", "oder", "ou", "oppure", "of"))

# Words of parts whose figures stand on the plate of a motor and are not the motor's.
OTHER_PARTS = frozenset(
    (
        *("brake", "brk", "bremse", "frein", "freno", "freio", "travão", "rem", "broms", "bremsa"),
        *("heater", "heaters", "heating", "heizung", "chauffage", "calefacción", "aquecimento"),
        *("riscaldamento", "verwarming", "résistance", "resistencia", "resistência", "scaldiglia"),
        *("lamp", "lamps", "lampe", "lampen", "leuchte", "lámpara", "lâmpada", "lampada", "light"),
        *("fan", "blower", "lüfter", "ventilateur", "ventilador", "ventilatore", "ventilator"),
        *("pump", "pumpe", "kühlmittelpumpe", "pompe", "bomba", "pompa", "coolant"),
        *("field", "erregung", "erreger", "exciter", "excitation", "excitación", "excitação"),
        *("eccitazione", "feld", "champ", "campo"),
        *("coil", "spule", "bobine", "bobina", "solenoid", "magnet", "valve", "ventil", "clutch"),
        *("kupplung", "embrayage", "embrague", "embreagem", "thermistor", "thermostat", "ptc"),
        *("encoder", "geber", "tacho", "resolver", "socket", "outlet", "steckdose"),
        *("was", "formerly", "previously", "originally", "früher", "vorher", "ehemals", "war"),
        *("avant", "ancien", "anciennement", "antes", "antiguo", "anterior", "antigo", "prima"),
    )
)
#: Ends of compound words of such parts, as in Stillstandsheizung.
OTHER_PART_ENDS = (*("bremse", "bremsspule", "heizung", "lüfter", "lampe", "leuchte", "kupplung"),)

# Words that are kept as they are: enclosures, makers' phrases, remarks.
NOTED = frozenset(
    (
        *(
            "tefc",
            "odp",
            "tenv",
            "teao",
            "xp",
            "epnv",
            "encl",
            "enclosure",
            "protected",
            "conn",
            "connection",
        ),
        *("thermally", "usable", "at", "made", "nema", "nom", "premium", "inverter-duty"),
        *("inverter", "duty", "rating", "rated", "ac", "induction", "asynchronous", "squirrel"),
        *("cage", "kurzschlussläufer", "schutzart", "hermetic", "wound", "of", "the", "on"),
        *("with", "and", "for", "max", "min", "full", "load", "start", "starting", "wire", "usa"),
        *("time", "outdoor", "indoor", "or", "oder", "ou", "oppure"),
    )
)

# Words and units that stand on plates of countries that write a decimal comma.
COMMA_COUNTRIES = frozenset(
    (
        *("cv", "ps", "ch", "hk", "pk", "vorschub", "kühlmittel", "isol", "kl", "isol-kl", "bj"),
        *("baujahr", "typ", "moteur", "motore", "fs", "rend", "drehstrom", "triphasé"),
        *("trifásico", "trifasico", "läufer", "schutzart", "spannung", "tension", "leistung"),
        *("puissance", "potenza", "potência", "potencia", "drehzahl", "vitesse", "velocidad"),
        *("nr", "in", "cosphi", "wkl", "iskl", "isokl", "étoile", "stern", "dreieck", "estrela"),
        *("triângulo", "triângolo", "triangolo", "u/min", "tr/min", "t/min", "giri/min", "upm"),
        *("min-1", "1/min", "ip/in", "ia/in", "is/in", "ed", "sicherung", "aufnahme", "masch-nr"),
        *("fabr-nr", "pumpe", "kühlmittelpumpe", "hydraulik", "heizung", "ofen", "forno", "four"),
        *("résistance", "resistência", "saldatrice", "soudage", "année", "anno", "año", "ano"),
        *("monophasé", "monofásico", "monofasico", "cat"),
    )
)
