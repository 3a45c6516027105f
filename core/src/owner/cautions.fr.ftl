# Les avertissements en français. Le nom d’un message est celui de l’avertissement ; « source- » dit d’où il vient.

lifting = Personne, et aucune main, sous un moteur levé. Levez avec du matériel prévu pour la charge et n’oubliez pas que des élingues écartées tirent davantage.
fuel-vapour = La vapeur d’essence explose. Faites tourner le ventilateur 4 minutes et vérifiez qu’il n’y a pas de vapeur dans la cale moteur avant de démarrer.
battery-first = Débranchez la batterie avant tout travail sur le démarreur, la charge ou le carburant : le négatif en premier, et rebranché en dernier. Couvrez les extrémités libres.
hot-and-pressurised-parts = Laissez refroidir et relâchez la pression avant d’ouvrir. Vapeur, carburant et huile sous pression brûlent et traversent la peau.
no-cooling-water = Ne faites jamais tourner le moteur sans eau de refroidissement, même un instant : une turbine de pompe à sec est détruite en quelques secondes.
carbon-monoxide = Les gaz d’échappement tuent sans odeur. Faites tourner un moteur en plein air ou avec une ventilation forcée ; aux États-Unis la limite au travail est de 50 ppm sur 8 heures.
propeller = Veillez à ce que personne ne puisse démarrer ou lancer le moteur quand des mains sont près de l’hélice ou de l’arbre. Avant qu’il tourne à terre, déposez l’hélice et éloignez les gens.
stop-switch = Retirez le cordon du coupe-circuit avant d’y mettre les mains. Vérifiez que le coupe-circuit arrête le moteur avant de rendre le bateau.
shore-power = Débranchez la prise de quai d’abord à la borne, puis au bateau, et vérifiez l’absence de tension. Ne travaillez jamais dans l’eau d’un port.
from = { $text } Source : { $source }.
source-common-practice = usage courant
source-propeller = 29 CFR 1915.89 s’il s’agit de réparation navale ; sinon usage courant
first = Le manuel d’atelier du moteur, les règles locales et les professionnels agréés passent avant tout.
