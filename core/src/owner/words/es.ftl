# Las palabras de los documentos del propietario en español.

work-summary = Resumen del trabajo
as-written = Lo que escribió el técnico se muestra tal como lo escribió.

state = Estado
finished = Terminado
in-work = En curso
owner = Propietario
berth = Amarre
hin = HIN (n.º de casco)
engine = Motor
technician = Técnico
date = Fecha

you-told-us = Lo que nos dijo
we-found = Lo que encontramos
we-did = Lo que hicimos

still-to-do = Queda por hacer
nothing = Nada.
goes-on = El trabajo continúa; no hay ningún paso anotado por separado.
done = Hecho
tightened = Apretado
instead = Sustituido o no montado
parts = Repuestos
measured = Medido
photos = Fotos
photo = Foto
photo-gone = Esta foto no está en este archivo.
photo-broken = Esta foto no se puede mostrar.

is-off = { $item }: desmontado
all-off = { $item }: { $off ->
    [one] { $off } sin montar
   *[other] { $off } sin montar
}
some-off = { $item }: { $off } de { $of } sin montar

replaced = { $item }: { $count ->
    [one] { $count } unidad sustituida
   *[other] { $count } unidades sustituidas
}: { $reason }
left-off = { $item }: { $count ->
    [one] { $count } unidad no montada
   *[other] { $count } unidades no montadas
}: { $reason }

part-number = { $count } × { $part }, ref. { $number }

unnamed-engine = motor
serial = n.º de serie { $serial }
hours = { $hours } h

in-circle = { $count } en círculo
in-row = { $count } en línea
in-rows = { $rows } filas de { $count }

tight-to = { $name }: { $layout }, apretado a { $torque }, valor según { $manual }, página { $page }
tight-by-guidance = { $name }: { $layout }, apretado solo según una guía general, { $torque }
tight-unknown = { $name }: { $layout }, apretado sin valor de un manual
a-manual = un manual
not-tight = { $name }: aún sin apretar
half-tight = { $name }: apriete sin terminar, { $done } de { $of } puntos

about = aprox. { $figure }
between = { $low } a { $high }
from-to = { $aim }, de { $low } a { $high }
then-turn = { $torque }, después girar { $degrees }°

recommended = Recomendado
agreed = Acordado
next-visit = Próxima visita
asked-by-you = a petición suya
asked-by-us = por consejo nuestro
asked-by-other = a petición de { $name }
before-after = Antes y después
before = Antes
after = Después
message-head = { $boat }: { $title }
message-finished = El trabajo está terminado.
message-in-work = El trabajo continúa.
to-watch = A vigilar

page-of = página { $page } de { $count }
not-drawn = {"["}{ $count ->
    [one] { $count } letra no dibujada
   *[other] { $count } letras no dibujadas
}]

full-day = { $style ->
    [us] { $weekday }, { $day } de { $month } de { $year }
   *[other] { $weekday }, { $day } de { $month } de { $year }
}
weekday = { $number ->
    [0] lunes
    [1] martes
    [2] miércoles
    [3] jueves
    [4] viernes
    [5] sábado
   *[other] domingo
}
month = { $number ->
    [1] enero
    [2] febrero
    [3] marzo
    [4] abril
    [5] mayo
    [6] junio
    [7] julio
    [8] agosto
    [9] septiembre
    [10] octubre
    [11] noviembre
   *[other] diciembre
}
