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
do-not-start = No arranque todavía el motor
tightening-of = apriete de { $name }
cautions = Avisos de seguridad
done = Hecho
tightened = Apretado
instead = Sustituido o no montado
parts = Repuestos
measured = Medido
photos = Fotos
photo = Foto
photo-gone = Esta foto no está en este archivo.
photo-broken = Esta foto no se puede mostrar.

time-by-work = Tiempo por tipo de trabajo
time-as-clocked = Tiempos de este técnico según el reloj, del trabajo que se cobra por tiempo. La factura puede redondearlos.
time-labour = Mano de obra
time-diagnosis = Diagnóstico

is-off = { $item }: sin montar
all-off = { $item }: { $off } sin montar
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
numbered-by-order = Los números indican el orden de apriete.
numbered-by-place = Los números indican el lugar; se aprietan en el orden { $order }.
not-tight = { $name }: aún sin apretar
half-tight = { $name }: apriete sin terminar

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

labelled = { $label }: { $text }
row = { $first }; { $then }

boat = Embarcación
work = Trabajo
estimate = Presupuesto
more-than-estimate = Ampliación del presupuesto
waiver = Renuncia al presupuesto
work-accepted = Trabajo aceptado
what = Concepto
amount = Importe
in-all = En total
terms = Condiciones
cost-labour = Mano de obra
cost-supplies = Materiales de taller
cost-other = Otros
cost-tax = Impuestos
before-tax = Antes de impuestos
total = Total
asked-for = Solicitado
made-on = Hecho el { $day }
promise-itemised = Esto es un presupuesto. Lo que lo supere se hará cuando usted lo haya aceptado.
promise-at-most = Esto es lo máximo que costará el trabajo, salvo que usted acepte más.
waiver-term = Usted renuncia al presupuesto por escrito. Lo solicitado arriba puede hacerse sin él; no se acuerda ningún coste de antemano.
valid-until = Puede aceptarse hasta el { $day }.
apart-price = Desmontar para averiguar la causa y volver a montar: { $price }.
apart-destroyed = Incluido en ese precio, porque el desmontaje lo destruye: { $what }.
apart-days = Si usted no desea la reparación, estará montado de nuevo en un máximo de { $days ->
    [one] { $days } día
   *[other] { $days } días
}.
not-as-it-was = Puede que no quede como estaba: { $why }.
follows-rule = Se ajusta a: { $law } ({ $covers }). { $counsel }
follows-none = No se ajusta a ninguna norma publicada sobre acuerdos de reparación. { $counsel }
covers-california = embarcaciones de uso no comercial; no una en peligro que necesita trabajo inmediato
covers-new-jersey = embarcaciones; no cambios de aceite ni trabajos menores
covers-miami-dade = embarcaciones a motor de menos de 16 pies
counsel = Esto no es asesoramiento jurídico: deciden la ley local y los juristas.

to-the-estimate = Al presupuesto del { $day }, { $total }
added = Añadido
added-cost = Coste añadido
more-work = Trabajo: { $hours } h más

still-off = Aún sin montar
lies = { $item }, guardado en: { $place }

consent = { $when }, { $way }: { $who } aceptó { $what }
the-estimate = el presupuesto
the-waiver = el trabajo sin presupuesto por escrito, al que renuncia
the-work = el trabajo tal como se hizo
more-agreed = { $cost } más{ $time }: { $what }
in-person = en persona
by-telephone = por teléfono
called-number = por teléfono (llamada al { $number })
in-writing = por escrito
signed = con firma
name-as-signature = con el nombre escrito como firma
somebody-unnamed = alguien sin nombre
signature-of = Firma de { $who }
hash-of = SHA-256 de lo firmado
state-same = Esta hoja dice lo que se firmó.
state-translated = Esta hoja dice lo que se firmó, en otro idioma. Lo que se firmó:
state-differs = Esta hoja difiere de lo que se firmó. Lo que se firmó:
state-broken = Lo guardado como firmado no corresponde a su SHA-256: se modificó después de la firma. Lo guardado:

accepted = se acepta
declined = se rechaza
not-answered = aún sin respuesta

estimated = Presupuestado
agreed-beyond = Acordado además
agreed-in-all = Acordado en total

overrun-message = { $boat }, { $job }: el trabajo requiere más de lo acordado.
overrun-hours = Trabajo hasta ahora { $clocked } h, acordado { $agreed } h.
overrun-cost = Asciende como mínimo a { $cost }; lo acordado era { $agreed }.
overrun-ask = Le rogamos que nos diga si podemos continuar y hasta qué importe.

drawn-on = { $caption }. Dibujado encima: { $marks }.
mark-place = { $ninth ->
    [0] arriba a la izquierda
    [1] arriba
    [2] arriba a la derecha
    [3] a la izquierda
    [4] en el centro
    [5] a la derecha
    [6] abajo a la izquierda
    [7] abajo
   *[other] abajo a la derecha
}
mark-from-to = línea: { $from }, luego { $to }
mark-line = línea: { $place }
mark-nowhere = línea
mark-arrow = flecha: { $place }
mark-ring = círculo: { $place }
mark-words = «{ $words }»: { $place }

page-of = página { $page } de { $count }

# One document as several files.
part-of = parte { $part } de { $count }
first-part = Parte 1 de { $count }: todo menos las fotos que están en las otras partes.
further-part = Parte { $part } de { $count }: solo fotos. Todo lo demás está en la parte 1.
photos-elsewhere = { $count ->
    [one] 1 foto está en otra parte.
   *[other] { $count } fotos están en otras partes.
}

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
