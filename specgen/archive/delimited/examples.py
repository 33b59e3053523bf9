"""Names of columns as logs have them, one or two a tongue: for readers; a test holds each.

Far more is understood than stands here: `words` reads what a name says, not a list of names.
"""

from __future__ import annotations

#: By quantity: names in English, German, French and Spanish.
CALLED: dict[str, tuple[str, ...]] = {
    "engine_speed": ("RPM", "Engine speed", "Motordrehzahl", "Régime moteur", "Revoluciones"),
    "torque": ("TQ", "Engine torque", "Drehmoment", "Couple", "Par motor"),
    "power": ("Power", "bhp", "Leistung", "Puissance", "Potencia"),
    "boost": (
        "Boost",
        "Ladedruck relativ",
        "Pression de suralimentation relative",
        "Presión de soplado relativa",
    ),
    "manifold_pressure": ("MAP", "Saugrohrdruck absolut", "Pression collecteur absolue",
                          "Presión colector absoluta"),
    "air_fuel_ratio": ("AFR", "A/F", "Luft-Kraftstoff-Verhältnis", "Rapport air/carburant",
                       "Relación aire/combustible"),
    "lambda": ("Lambda", "λ", "Luftzahl", "Sonde lambda", "Sonda lambda"),
    "intake_temperature": ("IAT", "Inlet air temp", "Ansaugtemperatur", "Température d'admission",
                           "Temperatura de admisión"),
    "discharge_temperature": ("Blower outlet temp", "Verdichteraustrittstemperatur",
                              "Température sortie compresseur", "Temperatura salida compresor"),
    "charge_temperature": ("MAT", "Charge temp", "Ladelufttemperatur", "Température collecteur",
                           "Temperatura colector"),
    "coolant_temperature": ("ECT", "Water temp", "Kühlmitteltemperatur", "Température d'eau",
                            "Temperatura del agua"),
    "blower_speed": ("Supercharger RPM", "Laderdrehzahl", "Régime compresseur",
                     "Régimen compresor"),
    "inlet_pressure_drop": ("Inlet depression", "Ansaugunterdruck", "Dépression admission",
                            "Depresión de admisión"),
    "fuel_mass_flow": ("Fuel flow", "Kraftstoffverbrauch", "Débit carburant",
                       "Caudal de combustible"),
    "air_mass_flow": ("MAF", "Air flow", "Luftmasse", "Débit d'air", "Caudal de aire"),
    "ignition_advance": ("Ignition advance", "Spark", "Zündwinkel", "Avance à l'allumage",
                         "Avance de encendido"),
}  # fmt: skip
