# Die Wörter der Unterlagen für Eigner auf Deutsch.

work-summary = Arbeitsbericht
as-written = Was der Techniker geschrieben hat, steht hier, wie er es geschrieben hat.

state = Stand
finished = Fertig
in-work = Noch in Arbeit
owner = Eigner
berth = Liegeplatz
hin = HIN (Rumpfnummer)
engine = Motor
technician = Techniker
date = Datum

you-told-us = Sie haben gemeldet
we-found = Wir haben festgestellt
we-did = Wir haben ausgeführt

still-to-do = Noch zu tun
nothing = Nichts.
goes-on = Die Arbeit geht weiter; es ist kein einzelner Schritt notiert.
do-not-start = Den Motor noch nicht starten
tightening-of = Anziehen von { $name }
cautions = Warnungen
done = Erledigt
tightened = Angezogen
instead = Ersetzt oder weggelassen
parts = Teile
measured = Gemessen
photos = Fotos
photo = Foto
photo-gone = Dieses Foto ist nicht in dieser Datei.
photo-broken = Dieses Foto lässt sich nicht zeigen.

time-by-work = Zeit nach Art der Arbeit
time-as-clocked = Zeiten dieses Technikers, wie sie gemessen wurden, für Arbeit, die nach Zeit berechnet wird. Die Rechnung kann sie runden.
time-labour = Arbeit am Boot
time-diagnosis = Fehlersuche

is-off = { $item }: abgebaut
all-off = { $item }: { $off } abgebaut
some-off = { $item }: { $off } von { $of } abgebaut

replaced = { $item }: { $count } ersetzt: { $reason }
left-off = { $item }: { $count } weggelassen: { $reason }

part-number = { $count } × { $part }, Nr. { $number }

unnamed-engine = Motor
serial = Serien-Nr. { $serial }
hours = { $hours } h

in-circle = { $count } im Kreis
in-row = { $count } in einer Reihe
in-rows = { $rows } Reihen zu { $count }

tight-to = { $name }: { $layout }, angezogen mit { $torque }, Wert aus { $manual }, Seite { $page }
tight-by-guidance = { $name }: { $layout }, angezogen nur nach allgemeinem Anhalt, { $torque }
tight-unknown = { $name }: { $layout }, angezogen ohne Wert aus einem Handbuch
a-manual = einem Handbuch
numbered-by-order = Die Zahlen geben die Reihenfolge des Anziehens an.
numbered-by-place = Die Zahlen geben den Platz an; angezogen wird in der Reihenfolge { $order }.
not-tight = { $name }: noch nicht angezogen
half-tight = { $name }: noch nicht zu Ende angezogen

about = etwa { $figure }
between = { $low } bis { $high }
from-to = { $aim }, von { $low } bis { $high }
then-turn = { $torque }, dann { $degrees }° weiterdrehen

recommended = Empfohlen
agreed = Vereinbart
next-visit = Nächster Besuch
asked-by-you = auf Ihren Wunsch
asked-by-us = auf unseren Rat
asked-by-other = auf Wunsch von { $name }
before-after = Vorher und nachher
before = Vorher
after = Nachher
message-head = { $boat }: { $title }
message-finished = Die Arbeit ist fertig.
message-in-work = Die Arbeit geht weiter.
to-watch = Im Auge behalten

labelled = { $label }: { $text }
row = { $first }; { $then }

boat = Boot
work = Arbeit
estimate = Kostenvoranschlag
more-than-estimate = Mehr als der Kostenvoranschlag
waiver = Verzicht auf den Kostenvoranschlag
work-accepted = Arbeit abgenommen
what = Was
amount = Betrag
in-all = Zusammen
terms = Bedingungen
cost-labour = Arbeit
cost-supplies = Werkstattmaterial
cost-other = Sonstiges
cost-tax = Steuer
before-tax = Vor Steuer
total = Summe
asked-for = Gewünscht
made-on = Erstellt am { $day }
promise-itemised = Dies ist ein Kostenvoranschlag. Was darüber hinausgeht, wird erst nach Ihrer Zustimmung ausgeführt.
promise-at-most = Mehr wird die Arbeit nicht kosten, es sei denn, Sie stimmen mehr zu.
waiver-term = Sie verzichten auf den schriftlichen Kostenvoranschlag. Das oben Gewünschte darf ohne ihn ausgeführt werden; Kosten sind im Voraus nicht vereinbart.
valid-until = Zustimmung möglich bis { $day }.
apart-price = Zerlegen, um die Ursache zu finden, und wieder zusammenbauen: { $price }.
apart-destroyed = In diesem Preis enthalten, weil es beim Zerlegen zerstört wird: { $what }.
apart-days = Wenn Sie die Reparatur nicht wünschen, ist alles spätestens nach { $days ->
    [one] { $days } Tag
   *[other] { $days } Tagen
} wieder zusammengebaut.
not-as-it-was = Es lässt sich vielleicht nicht wie zuvor zusammenbauen: { $why }.
follows-rule = Zugrunde gelegt: { $law } ({ $covers }). { $counsel }
follows-none = Es liegt keine veröffentlichte Regel für Reparaturvereinbarungen zugrunde. { $counsel }
covers-california = nicht gewerblich genutzte Boote; nicht ein Boot in Not, das sofort Arbeit braucht
covers-new-jersey = Boote; nicht Ölwechsel und Kleinigkeiten
covers-miami-dade = Motorboote unter 16 Fuß
counsel = Dies ist keine Rechtsberatung: Es entscheiden das örtliche Recht und Rechtskundige.

to-the-estimate = Zum Kostenvoranschlag vom { $day }, { $total }
added = Zusätzlich
added-cost = Mehrkosten
more-work = Arbeit: { $hours } h mehr

still-off = Noch abgebaut
lies = { $item }, liegt: { $place }

consent = { $when }, { $way }: Zustimmung von { $who }: { $what }
the-estimate = Kostenvoranschlag
the-waiver = Arbeit ohne schriftlichen Kostenvoranschlag, auf den verzichtet wird
the-work = die Arbeit, wie sie ausgeführt wurde
more-agreed = { $cost } mehr{ $time }: { $what }
in-person = persönlich
by-telephone = telefonisch
called-number = telefonisch (angerufen: { $number })
in-writing = schriftlich
signed = mit Unterschrift
name-as-signature = mit dem Namen als Unterschrift
somebody-unnamed = jemand ohne Namen
signature-of = Unterschrift von { $who }
hash-of = SHA-256 des Unterschriebenen
state-same = Dieses Blatt sagt, was unterschrieben wurde.
state-translated = Dieses Blatt sagt, was unterschrieben wurde, in einer anderen Sprache. Unterschrieben wurde:
state-differs = Dieses Blatt weicht von dem ab, was unterschrieben wurde. Unterschrieben wurde:
state-broken = Was als unterschrieben aufbewahrt wird, passt nicht zu seinem SHA-256: Es wurde nach der Unterschrift geändert. Aufbewahrt wird:

accepted = angenommen
declined = abgelehnt
not-answered = noch nicht beantwortet

estimated = Veranschlagt
agreed-beyond = Darüber hinaus vereinbart
agreed-in-all = Insgesamt vereinbart

overrun-message = { $boat }, { $job }: Die Arbeit braucht mehr, als wir vereinbart haben.
overrun-hours = Arbeit bisher { $clocked } h, vereinbart { $agreed } h.
overrun-cost = Es werden mindestens { $cost }; vereinbart waren { $agreed }.
overrun-ask = Bitte sagen Sie uns, ob und bis zu welchem Betrag wir weitermachen dürfen.

drawn-on = { $caption }. Darauf gezeichnet: { $marks }.
mark-place = { $ninth ->
    [0] oben links
    [1] oben
    [2] oben rechts
    [3] links
    [4] in der Mitte
    [5] rechts
    [6] unten links
    [7] unten
   *[other] unten rechts
}
mark-from-to = Linie: { $from }, dann { $to }
mark-line = Linie: { $place }
mark-nowhere = Linie
mark-arrow = Pfeil: { $place }
mark-ring = Kreis: { $place }
mark-words = „{ $words }“: { $place }

page-of = Seite { $page } von { $count }

# One document as several files.
part-of = Teil { $part } von { $count }
first-part = Teil 1 von { $count }: alles außer den Fotos, die in den anderen Teilen stehen.
further-part = Teil { $part } von { $count }: nur Fotos. Alles andere steht in Teil 1.
photos-elsewhere = { $count ->
    [one] 1 Foto steht in einem anderen Teil.
   *[other] { $count } Fotos stehen in anderen Teilen.
}

not-drawn = {"["}{ $count ->
    [one] { $count } Buchstabe
   *[other] { $count } Buchstaben
} nicht gezeichnet]

full-day = { $style ->
    [us] { $weekday }, { $day }. { $month } { $year }
   *[other] { $weekday }, { $day }. { $month } { $year }
}
weekday = { $number ->
    [0] Montag
    [1] Dienstag
    [2] Mittwoch
    [3] Donnerstag
    [4] Freitag
    [5] Samstag
   *[other] Sonntag
}
month = { $number ->
    [1] Januar
    [2] Februar
    [3] März
    [4] April
    [5] Mai
    [6] Juni
    [7] Juli
    [8] August
    [9] September
    [10] Oktober
    [11] November
   *[other] Dezember
}
