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
done = Erledigt
tightened = Angezogen
instead = Ersetzt oder weggelassen
parts = Teile
measured = Gemessen
photos = Fotos
photo = Foto
photo-gone = Dieses Foto ist nicht in dieser Datei.
photo-broken = Dieses Foto lässt sich nicht zeigen.

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
not-tight = { $name }: noch nicht angezogen
half-tight = { $name }: Anziehen nicht abgeschlossen, { $done } von { $of } Schritten

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

page-of = Seite { $page } von { $count }
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
