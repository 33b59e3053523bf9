"""What a column's name says it is, in English, German, French and Spanish.

A name is taken as words for what is measured (speed, torque, pressure, temperature, ...) and where
or in what state (of the engine, of the coolant, at the wheel, absolute, corrected). Any order and
most compounds are read so, and names that nobody listed. What is left unclear stays unknown.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from specgen.archive.delimited.spelling import Reference, Spelling

#: Words by what they say. "=x" is the word x alone, "x" any word that has x in it; all folded:
#: small letters, no accents. The trade's usual ones, from memory.
_SAYS: dict[str, str] = {
    "rotation": "=reg =rpm =rpms drehz regime revol =revs =rev =nmot =umdrehungen =tours =giros "
    "=regimen =rev/min =tacho",
    "speed": "=speed =spd =vitesse =velocidad geschwindigkeit =vel =velocity",
    "torque": "torque =tq =trq =trque drehmoment =moment =couple =par =md =torsion =tor "
    "motormoment radmoment =cple",
    "power": "power =pwr =pow =pwer leist puissance potencia =hp =bhp =whp =kw =ps "
    "=puiss =pot =cv =ch",
    "pressure": "pressure =press =pres =prs druck =pression =presion =press.",
    "boost": "boost =lade ladedruck suralim sobrealim =soplado =soplo aufladung "
    "=turbodruck",
    "map": "=map saugrohrdruck",
    "temperature": "temp =t =tmp",
    "afr": "=afr =ratio =a/f =af =lkv =rac =verhaltnis =verhaeltnis =rapport =relacion",
    "lambda": "lambda =lam =lmbd luftzahl =lbd luftverhaltnis luftverhaeltnis",
    "richness": "richesse riqueza =phi equivalence",
    "flow": "flow massenstrom debit caudal =flux =flujo durchfluss durchsatz massendurchs "
    "volumenstrom luftmasse kraftstoffmasse",
    "consumption": "consum verbrauch consom",
    "angle": "ignit =ign spark =timing zund zuend allumage encendido =zzp =advance =adv "
    "=avance =zw vorzundung fruhzundung",
    "depression": "depression depresion unterdruck restriction =vacuum vakuum =vide =vacio",
    "drop": "=drop =loss verlust abfall =perte =perdida =perd =pertes =perdidas caida "
    "=chute =delta =dp differenz",
    "drag": "=drag schlepp =losses =coast =friction reibung frottement",
    "time": "=time zeit =temps =tiempo =sec =seconds =timestamp =hora =heure =uhrzeit "
    "elapsed =stamp",
    "count": "=run =sweep =lauf =essai =pasada =passage =tirage =ensayo =index =sample "
    "=row =nr =no =line =punkt =point =record =messpunkt =zeile =ligne =linea "
    "=num =numero =messung =tir",
    "throttle": "throttle =tps =pedal drosselklap =papillon =mariposa gaspedal acelerador "
    "accelerateur",
    "humidity": "humid feucht =hr =hygro humed",
    "voltage": "volt =batt battery batterie bateria spannung tension",
    "switch": "=gear =gang =rapporte =marcha =vitesse_engagee",
    "knock": "knock klopf cliquetis picado =detonation",
    "engine": "=engine =eng motor =moteur =crank crankshaft kurbelwelle vilebrequin "
    "ciguenal =flywheel =fly schwungrad volant =volante =brake =frein =freno "
    "=nmot kupplung =mot motordreh",
    "blower": "blower supercharg =sc =s/c =lader laderdreh laderaus lader compress kompress "
    "compresor verdicht soufflante =soplante geblase geblaese =rotor =charger "
    "soplador",
    "turbo": "turbo",
    "coolant": "cool =ect =clt =cts =water kuhl kuehl wasser =eau =agua refrig refroid "
    "anticong =wt",
    "oil": "=oil =ol =oel olte oelte oltem oeltem oldr oeldr =huile =aceite =eot",
    "exhaust": "exhaust =egt abgas echapp escape =exh",
    "intake": "intake =inlet ansaug =admission =admision =iat =adm aspirat =aspiracion "
    "einlass =act =entree =entrada eintritt",
    "charge": "=charge ladeluft =manifold =mat =llt collecteur colector saugrohr "
    "=lader_nach plenum =carga =manif =charged ansaugkrummer "
    "=multiple =tubulure",
    "cooler": "intercool aftercool ladeluftkuhl ladeluftkuehl =ic =llk echangeur intercambiador "
    "=intercambiador",
    "before": "=before =pre =vor =avant =antes =entree =entrada eintritt",
    "outlet": "outlet discharg austritt sortie salida refoulement =out descarga impuls nach "
    "druckseit",
    "ambient": "ambient =ambiante =ambiente umgebung =room =raum =cell =ambi outside atmos "
    "exterieur exterior aussen =baro baromet luftdruck barometr",
    "fuel": "fuel kraftst sprit =carburant =combustible =gasolina =essence benzin =carb "
    "brennst =comb",
    "air": "=air =airflow luft =aire luftm =maf =massair",
    "wheel": "=wheel =wheels rad_ =roue =roues =rueda =ruedas radleist radmoment radzug "
    "=whp =hub =hubs nabe moyeu rodillo rolle rouleau =roller =wtq",
    "gearbox": "getriebe gearbox transmission =boite",
    "vehicle": "vehic fahrzeug =road =strasse =vehicule =vehiculo fahr",
    "corrected": "correct korrig =corr =cor corrig correg =kor =korr =norm normiert normleist",
    "observed": "observ =uncorr uncorrected unkorr =raw =roh =brut =brute =bruto gemess "
    "=measured =mesure =mesuree =medida =medido =ist =obs =actual",
    "target": "target =soll =set setpoint consigne =objetivo =demand =desired sollwert "
    "=request =max =min =limit =peak",
}  # fmt: skip
_PARTS = [(word, says) for says, words in _SAYS.items() for word in words.split() if word[0] != "="]
_SEVERAL: dict[str, set[str]] = {}
for _says, _words in _SAYS.items():
    for _word in _words.split():
        if _word[0] == "=":
            _SEVERAL.setdefault(_word[1:], set()).add(_says)

#: Short names that stand alone, and what they say; a unit must agree.
_ALONE: dict[str, str] = {
    "n": "rotation", "m": "torque", "t": "torque", "p": "power", "l": "lambda",
    "ne": "rotation", "pe": "power", "me": "torque", "tq": "torque", "te": "torque",
}  # fmt: skip
_STATES = ("corrected", "observed", "target", "wheel", "drag", "drop")


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a column is: its quantity, or "" where it is none of a curve's, and what it says more.

    `quantity` may be "boost_or_manifold", which the reference of its pressure decides. `role` is
    what an export has beside curves: time, count, throttle. `state` has words such as corrected.
    """

    quantity: str = ""
    reference: Reference = ""
    role: str = ""
    state: frozenset[str] = frozenset()


def fold(text: str) -> str:
    """Bring a text to small letters without accents, compounds in capitals parted."""
    text = re.sub(r"(?<=[a-zà-ÿ])(?=[A-Z][a-z])|(?<=[a-z]{2})(?=[A-Z]{2})", " ", text)
    text = unicodedata.normalize("NFKD", text.replace("ß", "ss"))
    return "".join(it for it in text if not unicodedata.combining(it)).casefold()


def said(name: str) -> set[str]:
    """Give all that the words of a name say."""
    folded = _LOSS.sub(
        " pressure drop ", fold(name).replace("_", " ").replace("\u03bb", " lambda ")
    )
    if _NUMBERED.match(folded):
        return {"count"}
    words = re.findall(r"[a-z]+/[a-z]+|[a-z]+", folded)
    found: set[str] = set()
    for word in words:
        found |= _SEVERAL.get(word, set())
        found |= {says for part, says in _PARTS if part in word and word != "temps"}
        if "/" in word and word not in _SEVERAL:
            for half in word.split("/"):
                found |= _SEVERAL.get(half, set())
    if len(words) == 1 and not found:
        found |= {_ALONE[words[0]]} if words[0] in _ALONE else set()
    if {"air", "fuel"} <= found and re.search(
        r"air.{0,14}(fuel|carb|comb)|luft.{0,4}kraft|fuel.air", folded
    ):
        found |= {"afr"} if not found & {"flow", "temperature", "pressure"} else set()
    return found


#: "Perte de charge" is a loss of pressure, and no charge.
_LOSS = re.compile(
    r"pertes? de charge|perdidas? de carga|caida de presion|druckverlust|druckabfall"
)
#: N°, Nº and # number rows; n alone is an engine's speed.
_NUMBERED = re.compile(r"\s*(?:n\s*[°]|no\b\.?|#|nr\b\.?)[\s-]*$")
_AIR_TO_FUEL = re.compile(r"aire?.{0,14}(fuel|carb|comb)|luft.{0,4}kraft|fuel.air")
_GAUGE = re.compile(r"\b(?:gauge|gage|relati[a-z]+|rel|uberdruck|ueberdruck|manometri[a-z]+)\b")
_ABSOLUTE = re.compile(r"\b(?:absol[a-z]+|abs|absolut[a-z]*)\b")


def meaning(name: str, unit: Spelling | None) -> Meaning:
    """Tell what a column is by its name and the unit that stands with it."""
    says = said(name)
    kinds = {item.kind for item in unit.units} if unit is not None else set[str]()
    role = _role(says, kinds)
    state = frozenset(says & set(_STATES))
    if role:
        return Meaning(role=role)
    key = _quantity(says, kinds, known=not _strange(name))
    if key and not _may_be(key, kinds, unit):
        key = ""
    return Meaning(key, _reference(name, unit), state=state)


def _reference(name: str, unit: Spelling | None) -> Reference:
    if unit is not None and unit.reference:
        return unit.reference
    folded = fold(name).replace("_", " ")
    if _GAUGE.search(folded):
        return "gauge"
    # the letters of MAP say manifold absolute pressure
    return "absolute" if _ABSOLUTE.search(folded) or re.search(r"\bmap\b", folded) else ""


def _role(says: set[str], kinds: set[str]) -> str:
    """Tell what an export has beside curves."""
    if "time" in says and not says - {"time", "engine", "count"} and kinds <= {"time", "ratio"}:
        return "time"
    if "throttle" in says:
        return "throttle"
    if "count" in says and not says - {"count"} and kinds <= {"ratio"}:
        return "count"
    return ""


_KIND_OF = {
    "engine_speed": "rotational speed", "blower_speed": "rotational speed", "torque": "torque",
    "power": "power", "boost": "gauge pressure", "manifold_pressure": "absolute pressure",
    "boost_or_manifold": "gauge pressure", "air_fuel_ratio": "ratio", "lambda": "ratio",
    "intake_temperature": "temperature", "discharge_temperature": "temperature",
    "charge_temperature": "temperature", "coolant_temperature": "temperature",
    "inlet_pressure_drop": "pressure difference", "fuel_mass_flow": "mass flow",
    "air_mass_flow": "mass flow", "ignition_advance": "angle",
}  # fmt: skip


def _may_be(key: str, kinds: set[str], unit: Spelling | None) -> bool:
    """Whether a quantity can have the unit that stands there, if one does."""
    return unit is None or _KIND_OF[key] in kinds


def _strange(name: str) -> bool:
    """Whether a name has words that say nothing, so that its unit alone does not tell it."""
    return any(
        len(word) > 2 and not said(word) and word not in _LINKS
        for word in re.findall(r"[a-z]+", fold(name))
    )


_LINKS = frozenset(
    [
        "the",
        "der",
        "die",
        "das",
        "des",
        "del",
        "los",
        "las",
        "les",
        "aux",
        "von",
        "bei",
        "and",
        "und",
    ]
)


def _quantity(says: set[str], kinds: set[str], *, known: bool) -> str:
    """Tell the quantity of a curve; "" for any other."""
    if says & {"target", "richness", "humidity", "voltage", "knock", "switch"}:
        return ""
    if not says or says <= {"corrected", "observed", "wheel", "engine"}:
        return _by_unit(kinds) if known else ""
    for find in (_speeds, _pressures, _temperatures, _torques, _mixtures, _flows):
        key = find(says, kinds)
        if key is not None:
            return key
    return "ignition_advance" if "angle" in says and not says & {"temperature"} else ""


def _by_unit(kinds: set[str]) -> str:
    """A unit alone is a name where only one column has it: rpm, kW, N m."""
    for key in ("engine_speed", "torque", "power"):
        if _KIND_OF[key] in kinds:
            return key
    return ""


def _speeds(says: set[str], kinds: set[str]) -> str | None:
    turning = "rotation" in says or "rotational speed" in kinds
    of_something = "speed" in says and not kinds and says & {"engine", "blower"}
    if not turning and not of_something:
        return "" if "speed" in says else None
    if says & {"torque", "power", "temperature", "pressure", "boost"}:
        return None if not kinds or "rotational speed" not in kinds else ""
    if says & {"turbo", "wheel", "gearbox", "vehicle"}:
        return ""
    if "blower" in says:
        return "blower_speed"
    left = says - {"rotation", "speed", "engine", "corrected", "observed", "count"}
    return "" if left or not says & {"rotation", "speed", "engine"} else "engine_speed"


def _torques(says: set[str], kinds: set[str]) -> str | None:
    if "power" in says and ("torque" not in says or "power" in kinds):
        key = "power"
    elif "torque" in says:
        key = "torque"
    else:
        return None
    if says & {"drag", "drop", "fuel", "blower", "gearbox", "coolant", "air", "exhaust"}:
        return ""
    return key


def _pressures(says: set[str], kinds: set[str]) -> str | None:
    pressing = says & {"pressure", "boost", "map", "depression"}
    if says & {"temperature"} or not pressing:
        return None
    if not says & {"boost", "map", "depression"} and not {"pressure"} & says:
        return None
    if says & {"oil", "fuel", "coolant", "exhaust", "ambient"}:
        return ""
    if "depression" in says or ("drop" in says and "intake" in says):
        return "inlet_pressure_drop" if "intake" in says and "charge" not in says else ""
    if "drop" in says:
        return ""
    if "boost" in says or "map" in says:
        return "boost_or_manifold"
    if "power" in kinds or "torque" in kinds:
        return None
    if says & {"charge"}:
        return "boost_or_manifold"
    return ""


def _temperatures(says: set[str], kinds: set[str]) -> str | None:
    named = says & {"temperature"} or "temperature" in kinds
    if not named:
        return None
    if says & {"oil", "exhaust", "fuel", "ambient", "gearbox"}:
        return ""
    if "cooler" in says:
        return "charge_temperature" if "outlet" in says and "before" not in says else ""
    if "coolant" in says:
        return "" if says & {"charge", "intake", "outlet"} else "coolant_temperature"
    if "outlet" in says:
        return "discharge_temperature" if "blower" in says and "charge" not in says else ""
    if "charge" in says or "boost" in says:
        return "charge_temperature"
    if "intake" in says:
        return "intake_temperature"
    return ""


def _mixtures(says: set[str], kinds: set[str]) -> str | None:  # noqa: ARG001 - as the others
    if "lambda" in says:
        return "lambda"
    if "afr" in says:
        mixed = {"air", "fuel"} <= says or says <= {"afr", "observed", "exhaust"}
        return "air_fuel_ratio" if mixed else ""
    return None


def _flows(says: set[str], kinds: set[str]) -> str | None:
    if not says & {"flow", "consumption"} and "mass flow" not in kinds:
        return None
    if "mass flow" not in kinds and kinds:
        return ""
    if "fuel" in says or ("consumption" in says and "air" not in says):
        return "fuel_mass_flow"
    return "air_mass_flow" if "air" in says else ""
