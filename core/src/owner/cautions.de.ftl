# Die Warnungen auf Deutsch. Eine Meldung heißt wie die Warnung; „source-“ nennt, woher sie kommt.

lifting = Niemand, und keine Hand, unter einen angehobenen Motor. Nur mit Gerät heben, das für die Last zugelassen ist; flach liegende Anschlagmittel ziehen stärker.
fuel-vapour = Benzindampf explodiert. Vor dem Starten das Gebläse 4 Minuten laufen lassen und prüfen, ob in der Motorbilge Dampf steht.
battery-first = Vor Arbeiten an Anlasser, Ladeanlage oder Kraftstoff die Batterie abklemmen: Minus zuerst ab und zuletzt an. Lose Enden abdecken.
hot-and-pressurised-parts = Abkühlen lassen und Druck ablassen, bevor geöffnet wird. Dampf, Kraftstoff und Öl unter Druck verbrennen und dringen durch die Haut.
no-cooling-water = Den Motor nie ohne Kühlwasser laufen lassen, keinen Augenblick: ein trockener Impeller ist in Sekunden zerstört.
carbon-monoxide = Abgas tötet, ohne zu riechen. Motoren nur im Freien oder mit Zwangslüftung laufen lassen; in den USA gelten bei der Arbeit 50 ppm über 8 Stunden als Grenze.
propeller = Sicherstellen, dass niemand den Motor starten oder durchdrehen kann, solange Hände an Propeller oder Welle sind. Bevor er an Land läuft, den Propeller abnehmen und Leute fernhalten.
stop-switch = Die Leine des Notstoppschalters abziehen, bevor Hände hineingehen. Prüfen, dass der Schalter den Motor abstellt, bevor das Boot zurückgeht.
shore-power = Den Landanschluss zuerst an der Säule, dann am Boot trennen und prüfen, dass keine Spannung anliegt. Nie im Wasser eines Hafens arbeiten.
from = { $text } Quelle: { $source }.
source-common-practice = allgemein üblich
source-propeller = 29 CFR 1915.89 bei Schiffsreparatur, sonst allgemein üblich
first = Werkstatthandbuch des Motors, örtliche Vorschriften und zugelassene Fachleute gehen vor.
