# Les mots des documents du propriétaire en français.

work-summary = Compte rendu des travaux
as-written = Ce que le technicien a écrit est reproduit tel quel.

state = État
finished = Terminé
in-work = Travaux en cours
owner = Propriétaire
berth = Place
hin = HIN (n° de coque)
engine = Moteur
technician = Technicien
date = Date

you-told-us = Vous nous avez signalé
we-found = Nous avons constaté
we-did = Nous avons fait

still-to-do = Reste à faire
nothing = Rien.
goes-on = Les travaux continuent ; aucune étape n’est notée séparément.
done = Fait
tightened = Serré
instead = Remplacé ou non remonté
parts = Pièces
measured = Mesuré
photos = Photos
photo = Photo
photo-gone = Cette photo n’est pas dans ce fichier.
photo-broken = Cette photo ne peut pas être affichée.

is-off = { $item } : déposé
all-off = { $item } : { $off ->
    [one] { $off } non remontée
   *[other] { $off } non remontées
}
some-off = { $item } : { $off } sur { $of } à remonter

replaced = { $item } : { $count ->
    [one] { $count } pièce remplacée
   *[other] { $count } pièces remplacées
} : { $reason }
left-off = { $item } : { $count ->
    [one] { $count } pièce non remontée
   *[other] { $count } pièces non remontées
} : { $reason }

part-number = { $count } × { $part }, réf. { $number }

unnamed-engine = moteur
serial = n° de série { $serial }
hours = { $hours } h

in-circle = { $count } en cercle
in-row = { $count } en ligne
in-rows = { $rows } rangées de { $count }

tight-to = { $name } : { $layout }, serrage à { $torque }, valeur selon { $manual }, page { $page }
tight-by-guidance = { $name } : { $layout }, serrage selon un repère général seulement, { $torque }
tight-unknown = { $name } : { $layout }, serrage sans valeur d’un manuel
a-manual = un manuel
not-tight = { $name } : pas encore serré
half-tight = { $name } : serrage inachevé, { $done } sur { $of } points

about = environ { $figure }
between = { $low } à { $high }
from-to = { $aim }, de { $low } à { $high }
then-turn = { $torque }, puis tourner de { $degrees }°

recommended = Recommandé
agreed = Convenu
next-visit = Prochaine visite
asked-by-you = à votre demande
asked-by-us = sur notre conseil
asked-by-other = à la demande de { $name }
before-after = Avant et après
before = Avant
after = Après
message-head = { $boat } : { $title }
message-finished = Les travaux sont terminés.
message-in-work = Les travaux continuent.
to-watch = À surveiller

page-of = page { $page } sur { $count }
not-drawn = {"["}{ $count ->
    [one] { $count } lettre non tracée
   *[other] { $count } lettres non tracées
}]

full-day = { $style ->
    [us] { $weekday } { $day } { $month } { $year }
   *[other] { $weekday } { $day } { $month } { $year }
}
weekday = { $number ->
    [0] lundi
    [1] mardi
    [2] mercredi
    [3] jeudi
    [4] vendredi
    [5] samedi
   *[other] dimanche
}
month = { $number ->
    [1] janvier
    [2] février
    [3] mars
    [4] avril
    [5] mai
    [6] juin
    [7] juillet
    [8] août
    [9] septembre
    [10] octobre
    [11] novembre
   *[other] décembre
}
