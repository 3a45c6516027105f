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
do-not-start = Ne démarrez pas encore le moteur
tightening-of = serrage de { $name }
cautions = Avertissements
done = Fait
tightened = Serré
instead = Remplacé ou non remonté
parts = Pièces
measured = Mesuré
photos = Photos
photo = Photo
photo-gone = Cette photo n’est pas dans ce fichier.
photo-broken = Cette photo ne peut pas être affichée.

time-by-work = Temps par type de travail
time-as-clocked = Temps de ce technicien tels que relevés, pour le travail facturé au temps. La facture peut les arrondir.
time-labour = Main-d’œuvre
time-diagnosis = Diagnostic

is-off = { $item } : à remonter
all-off = { $item } : { $off } à remonter
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
numbered-by-order = Les numéros donnent l’ordre de serrage.
numbered-by-place = Les numéros donnent la place ; le serrage se fait dans l’ordre { $order }.
not-tight = { $name } : pas encore serré
half-tight = { $name } : serrage inachevé

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

labelled = { $label } : { $text }
row = { $first } ; { $then }

boat = Bateau
work = Travaux
estimate = Devis
more-than-estimate = Complément au devis
waiver = Renonciation au devis
work-accepted = Travaux acceptés
what = Désignation
amount = Montant
in-all = Au total
terms = Conditions
cost-labour = Main-d’œuvre
cost-supplies = Fournitures d’atelier
cost-other = Autres
cost-tax = Taxes
before-tax = Hors taxes
total = Total
asked-for = Demande
made-on = Établi le { $day }
promise-itemised = Ceci est un devis. Ce qui va au-delà sera fait après votre accord.
promise-at-most = C’est le maximum que coûteront les travaux, sauf si vous acceptez davantage.
waiver-term = Vous renoncez au devis écrit. Ce qui est demandé ci-dessus peut être fait sans devis ; aucun prix n’est convenu à l’avance.
valid-until = Il peut être accepté jusqu’au { $day }.
apart-price = Démonter pour trouver la cause, et remonter : { $price }.
apart-destroyed = Compris dans ce prix, car le démontage le détruit : { $what }.
apart-days = Si vous ne souhaitez pas la réparation, le remontage est fait au plus tard en { $days ->
    [one] { $days } jour
   *[other] { $days } jours
}.
not-as-it-was = L’état d’origine pourrait ne pas être retrouvé : { $why }.
follows-rule = Il suit : { $law } ({ $covers }). { $counsel }
follows-none = Il ne suit aucune règle publiée sur les accords de réparation. { $counsel }
covers-california = bateaux à usage non commercial ; pas un bateau en détresse qui exige des travaux immédiats
covers-new-jersey = bateaux ; ni vidanges ni petits travaux
covers-miami-dade = bateaux à moteur de moins de 16 pieds
counsel = Ceci n’est pas un conseil juridique : le droit local et les juristes décident.

to-the-estimate = Pour le devis du { $day }, { $total }
added = Ajouté
added-cost = Coût ajouté
more-work = Travail : { $hours } h de plus

still-off = Encore à remonter
lies = { $item }, rangement : { $place }

consent = { $when }, { $way } : { $who } a accepté { $what }
the-estimate = le devis
the-waiver = les travaux sans devis écrit, auquel il est renoncé
the-work = les travaux tels qu’ils ont été faits
more-agreed = { $cost } de plus{ $time } : { $what }
in-person = sur place
by-telephone = par téléphone
called-number = par téléphone (numéro appelé : { $number })
in-writing = par écrit
signed = avec signature
name-as-signature = nom saisi en guise de signature
somebody-unnamed = une personne sans nom
signature-of = Signature de { $who }
hash-of = SHA-256 de ce qui a été signé
state-same = Cette feuille dit ce qui a été signé.
state-translated = Cette feuille dit ce qui a été signé, dans une autre langue. Ce qui a été signé :
state-differs = Cette feuille diffère de ce qui a été signé. Ce qui a été signé :
state-broken = Ce qui est conservé comme signé ne correspond pas à son SHA-256 : il a été modifié après la signature. Ce qui est conservé :

accepted = accepté
declined = refusé
not-answered = pas encore de réponse

estimated = Devis
agreed-beyond = Convenu en plus
agreed-in-all = Convenu au total

overrun-message = { $boat }, { $job } : les travaux demandent plus que ce qui a été convenu.
overrun-hours = Travail jusqu’ici { $clocked } h, convenu { $agreed } h.
overrun-cost = Cela revient au moins à { $cost } ; il était convenu { $agreed }.
overrun-ask = Merci de nous dire si nous pouvons continuer et jusqu’à quel montant.

drawn-on = { $caption }. Dessiné dessus : { $marks }.
mark-place = { $ninth ->
    [0] en haut à gauche
    [1] en haut
    [2] en haut à droite
    [3] à gauche
    [4] au milieu
    [5] à droite
    [6] en bas à gauche
    [7] en bas
   *[other] en bas à droite
}
mark-from-to = trait : { $from }, puis { $to }
mark-line = trait : { $place }
mark-nowhere = trait
mark-arrow = flèche : { $place }
mark-ring = cercle : { $place }
mark-words = « { $words } » : { $place }

page-of = page { $page } sur { $count }

# One document as several files.
part-of = partie { $part } sur { $count }
first-part = Partie 1 sur { $count } : tout, sauf les photos qui se trouvent dans les autres parties.
further-part = Partie { $part } sur { $count } : des photos seulement. Tout le reste se trouve dans la partie 1.
photos-elsewhere = { $count ->
    [one] 1 photo se trouve dans une autre partie.
   *[other] { $count } photos se trouvent dans d’autres parties.
}

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
