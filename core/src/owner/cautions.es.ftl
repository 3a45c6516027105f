# Los avisos en español. El nombre de un mensaje es el del aviso; «source-» nombra de dónde viene.

lifting = Nadie, y ninguna mano, debajo de un motor izado. Ice con medios previstos para la carga y tenga en cuenta que las eslingas abiertas tiran más.
fuel-vapour = El vapor de gasolina explota. Haga funcionar el extractor 4 minutos y compruebe que no hay vapor en la sentina del compartimento del motor antes de arrancar.
battery-first = Desconecte la batería antes de trabajar en el arranque, la carga o el combustible: primero se quita el negativo, y se conecta el último. Cubra los extremos sueltos.
hot-and-pressurised-parts = Deje enfriar y quite la presión antes de abrir. El vapor, el combustible y el aceite a presión queman y atraviesan la piel.
no-cooling-water = No haga funcionar nunca el motor sin agua de refrigeración, ni un momento: un impulsor en seco se destruye en segundos.
carbon-monoxide = Los gases de escape matan sin olor. Haga funcionar el motor al aire libre o con ventilación forzada; en los Estados Unidos el límite en el trabajo es de 50 ppm durante 8 horas.
propeller = Asegúrese de que nadie pueda arrancar ni hacer girar el motor con las manos cerca de la hélice o del eje. Antes de que funcione en tierra, quite la hélice y mantenga a la gente alejada.
stop-switch = Quite el cordón del interruptor de parada antes de meter las manos. Compruebe que el interruptor para el motor antes de entregar el barco.
shore-power = Desenchufe la toma de tierra primero en el pedestal y después en el barco, y compruebe que no hay tensión. No trabaje nunca en el agua de un puerto deportivo.
from = { $text } Fuente: { $source }.
source-common-practice = práctica habitual
source-propeller = 29 CFR 1915.89 si el trabajo es reparación naval; si no, práctica habitual
first = El manual de servicio del motor, las normas locales y los profesionales autorizados tienen prioridad.
