"""The words of the entry line in further languages, and words that say nothing of the metal.

Source of every word: common practice of the trade in its language; forms also as the customs tariff and the
steel and copper trades print them. Spellings without accents and plurals follow by rule (`vocabulary.reserved`).
"""

from collections.abc import Iterator, Mapping
from enum import StrEnum

from grade_library.facts import Form, Heft, MagnetPull, Spark, Surface
from grade_library.grade import Colour

ATTACHED = "attachments"
"""Value of the surface word for things that hang on the piece."""

_ABROAD: tuple[tuple[StrEnum | str, str], ...] = (
    (
        Form.SHEET,
        "strip, sheeting; de Blech, Bleche, Feinblech, Schwarzblech, Band, Bänder, Tafel; fr tôle,"
        " bande; es tira, plancha, lámina, chapa, fleje; it lamiera, lamiere, lamierino, nastro, nastri, lastra, lastre",
    ),
    (Form.PLATE, "de Grobblech, Platte; es placa; it piastra, piastre"),
    (Form.FOIL, "de Folie; fr feuille; es hoja, papel; it foglio, fogli, foglia"),
    (
        Form.EXTRUSION,
        "section; de Profil, Strangpressprofil; fr profilé, profil; es perfil, perfiles; it profilo,"
        " profili, profilato, profilati, estruso",
    ),
    (
        Form.BAR,
        "round bar, hex bar, flat bar, square bar, hexagon, round; de Stange, Stab, Stäbe, Rundstab, Sechskant,"
        " Vierkant; fr barre, barre ronde, hexagone, plat, rond, carré;"
        " es barra, redondo, hexagonal, pletina, cuadrado, llanta plana; it barra, barre, tondo, tondi, tondini, esagono, piatto,"
        " quadro",
    ),
    (Form.WIRE, "strand; de Draht, Drähte, Litze; fr fil, tréfilé; es alambre, hilo; it filo, fili"),
    (
        Form.TUBE,
        "hollow section, condenser tube, hose; de Rohr, Hohlprofil, Rohrbogen, Rohrbündel, Heizungsrohr; fr tube, tuyau; es tubo, cañería,"
        " tubería, caño; it tubo, tubi, tubazione",
    ),
    (
        Form.CASTING,
        "sand casting, sand cast; de Gussteil, Guss, Gussstück; fr pièce moulée, moulage, pièce de fonderie;"
        " es pieza fundida, pieza de fundición; it getto, getti, pezzo fuso",
    ),
    (
        Form.FORGING,
        "forged part; de Schmiedestück, Schmiedeteil, geschmiedet; fr pièce forgée, forgé; es pieza forjada,"
        " forjado; it fucinato, forgiato, pezzo forgiato",
    ),
    (
        Form.FASTENER,
        "nail, rivet, washer, stud; de Schraube, Mutter, Muttern, Nagel, Nägel, Niete, Bolzen,"
        " Unterlegscheibe; fr vis, boulon, écrou, clou, rivet, rondelle; es tornillo, tuerca, clavo, remache, perno,"
        " arandela; it vite, viti, bullone, dado, dadi, chiodo, chiodi, rivetto, rondella",
    ),
    (
        Form.FITTING,
        "valve body, flange, elbow, coupling; de Armatur, Heizkörperventil, Flansch, Ventil, Hahn, Muffe, Schieber, Fitting;"
        " fr bride, vanne, raccord, soupape, coude; es brida, válvula, racor, codo, empalme; it flangia, flange, valvola,"
        " valvole, raccordo, raccordi, gomito",
    ),
    (Form.SPRING, "de Feder; fr ressort; es muelle, resorte; it molla, molle"),
    (Form.WHEEL, "de Räder; fr roue; es rueda; it ruota, ruote"),
    (
        Form.TURNINGS,
        "chips, filings, shavings, millings; de Späne, Drehspäne, Bohrspäne, Frässpäne, Span, Feilspäne;"
        " fr copeaux de tournage, copeaux, copeau, limailles, limaille, tournure, tournures, planure; es viruta, limaduras,"
        " limadura; it tornitura, torniture, truciolo, trucioli, limatura",
    ),
    (
        Form.STRUCTURAL,
        "channel, i-beam, h-beam, girder, joist, i beam, h beam, column; de Winkel, Träger, I-Träger, Schiene,"
        " Doppel-T-Träger; fr poutrelle, cornière, poutre, rail; es ángulo, viga,"
        " carril, riel; it angolare, angolari, trave, travi",
    ),
    (
        Surface.BARE,
        "unpainted, uncoated, bright, no paint; de unlackiert, blank, sauber, unbeschichtet, rein; fr nu,"
        " propre, non peint, net; es desnudo, limpio, sin pintar, limpia; it nudo, pulito, lucido, pulita, non verniciato",
    ),
    (
        Surface.PAINTED,
        "coated, powder coated, enamelled, enameled, powder-coated, colour coated, primed; de lackiert,"
        " beschichtet, pulverbeschichtet, emailliert, gestrichen, bemalt, farbig; fr peint, laqué, émaillé, thermolaqué,"
        " peinte; es pintado, lacado, esmaltado, pintada; it verniciato, smaltato, verniciata, laccato",
    ),
    (
        Surface.PLATED,
        "tinned, clad, copper clad, copper plated, brass plated, silver plated, gold plated, tin plated,"
        " copper-plated, chrome-plated, nickel-plated, tin coated; de verchromt, Chrom, vernickelt, verzinnt, plattiert,"
        " verkupfert, versilbert, vergoldet, vermessingt; fr chromé, nickelé, étamé, plaqué, doré, laitonné, argenté, argentée;"
        " es cromado, cromo, niquelado, estañado, chapado, cobrizado, dorado, cobreado, latonado, plateado, plateada; it cromato, cromo, nichelato, stagnato,"
        " placcato, ramato, dorato, argentato, ottonato",
    ),
    (Surface.ANODISED, "de eloxiert, anodisiert; fr anodisé; es anodizado; it anodizzato"),
    (
        Surface.GALVANISED,
        "zinc plated, zinc coated, hot-dip galvanised; de verzinkt, feuerverzinkt; fr galvanisé, zingué,"
        " galva; es galvanizado, cincado, zincado; it zincato, galvanizzato",
    ),
    (
        Surface.RUSTY,
        "rusted; de rostig, verrostet, Rost; fr rouillé, rouille; es oxidado, oxido, herrumbre;"
        " it arrugginito, ruggine",
    ),
    (
        Surface.DIRTY,
        "de schmutzig, verschmutzt, dreckig; fr sale, souillé; es sucio, sucia; it sporco, sporca",
    ),
    (
        Surface.OILY,
        "de ölig, fettig, verölt; fr gras, huileux, graisseux; es grasiento, aceitoso, con aceite; it oleoso,"
        " unto, oliato",
    ),
    (
        ATTACHED,
        "with iron, with plastic, insulated, with attachments, with steel, with rubber; de isoliert,"
        " mit Anhaftungen, Anhaftung, Anhaftungen, eisenbehaftet, mit Eisen, mit Kunststoff; fr isolé, avec fer,"
        " avec plastique, avec attaches, ferreux; es con hierro, aislado, con plástico, con adherencias; it isolato,"
        " con ferro, con plastica, con attacchi",
    ),
    (
        MagnetPull.STRONG,
        "sticks, magnet sticks, yes magnet; de magnetisch, Magnet hält, Magnet stark, starker Magnet, Magnet ja; fr magnétique, aimant colle; es magnético,"
        " imán pega, pega el imán; it magnetico, calamita attacca",
    ),
    (
        MagnetPull.NONE,
        "no stick; de unmagnetisch, nicht magnetisch, Magnet nein, kein Magnet; fr amagnétique, non magnétique,"
        " pas magnétique; es no magnético, amagnético; it amagnetico, non magnetico",
    ),
    (
        MagnetPull.WEAK,
        "de schwach magnetisch, Magnet schwach, leicht magnetisch; fr peu magnétique, légèrement magnétique; es poco"
        " magnético, ligeramente magnético; it poco magnetico, leggermente magnetico",
    ),
    (Heft.HEAVY, "de schwer; fr lourd, lourde; es pesado, pesada; it pesante"),
    (Heft.LIGHT, "de leicht; fr léger, légère; es ligero, liviano, ligera; it leggero, leggera"),
    (Heft.NORMAL, "medium weight"),
    (Colour.RED, "de rot; fr rouge; es rojo; it rosso"),
    (Colour.REDDISH, "pink; de rötlich, rosa; fr rose, rougeâtre; es rojizo, rosado; it rossastro, rosato"),
    (Colour.YELLOW, "yellowish; de gelb, gelblich; fr jaune; es amarillo; it giallo"),
    (
        Colour.GOLDEN,
        "gold coloured, gold colored; de goldfarben, goldgelb; fr couleur or; es color oro; it color oro",
    ),
    (
        Colour.WHITE,
        "silvery, whitish, silver white; de weiß, silbrig, silberweiß; fr blanc; es blanco; it bianco,"
        " argenteo",
    ),
    (Colour.GREY, "greyish; de grau; fr gris; it grigio"),
    (Colour.BLUE_GREY, "de blaugrau; fr gris bleu; es gris azulado; it grigio azzurro"),
    (Colour.DARK, "de dunkel; fr sombre, foncé; es oscuro; it scuro"),
    (
        Spark.NONE,
        "no sparks; de keine Funken, ohne Funken; fr sans étincelles; es sin chispas; it senza scintille",
    ),
    (Spark.BURSTING, "long sparks; de lange Funken; fr longues étincelles"),
    (Spark.SHORT_DARK, "short red sparks; de kurze Funken, rote Funken"),
)
"""Value and further ways to say it: English ones, then language by language."""


def abroad(value: StrEnum | str | None) -> Iterator[str]:
    """Yield the further words for a value of the entry line, case-folded."""
    for stated, words in _ABROAD:
        # The values of two kinds may be the same text: "none" is a magnet's answer and a spark's.
        if type(stated) is type(value) and stated == value:
            yield from spoken(words)


REMARKS: Mapping[str, str] = {
    "seen": "seen",
    "offcuts": "offcuts, cuttings, clips, clippings, punchings, stampings, trimmings, cut-offs; de Verschnitt, Abschnitte,"
    " Schnipsel, Stanzabfälle, Abschnitt, Reste; fr chutes, chute, découpes, rognures; es recorte, retal, retazos,"
    " despuntes; it sfridi, ritagli, sfrido, ritaglio, spezzoni",
    "skeleton": "skeleton; de Stanzgitter; fr squelette; es esqueleto; it sfrido di tranciatura",
    "coil": "coil, roll, reel, spool; de Rolle, Coil, Spule; fr bobine, rouleau; es bobina, rollo; it bobina, rotolo",
    "bale": "bale, baled, bundle, bundles; de Ballen, Paket, Pakete, Bündel; fr balle, paquet, botte; es paca, paquete,"
    " fardo, atado; it pacco, pacchi, balla, fascio",
    "briquette": "briquette, briquetted; de Brikett; fr briquette; es briqueta; it bricchetta, mattonella",
    "shredded": "shredded, fragmentised, chopped, crushed, chops, granules, granulate; de geschreddert, Granulat;"
    " fr broyé, granulé, grenaille; es fragmentado, triturado, granulado; it frantumato, granulato, macinato",
    "ingot": "ingot, pig, pigs, block, sow; de Barren, Block, Blöcke, Masseln, Massel, Rohblöcke; fr lingot, gueuse;"
    " es lingote; it lingotto, lingotti, pani, pane",
    "billet": "billet, bloom, slab, semi; de Knüppel, Bramme; fr billette, brame; es tocho, palanquilla,"
    " palancón; it billetta, bramma",
    "dross": "dross, skimmings, ash, slag, ashes, spills, skulls, residues; de Krätze, Aschen, Asche, Schlacke, Schlacken,"
    " Ausläufer, Gröbe; fr crasse, crasses, cendre, mâchefer, laitier, scorie; es escoria, ceniza, espuma; it scoria,"
    " scorie, cenere, ceneri, colaticci, schiumatura",
    "powder": "powder, dust, grindings, fines, shot, pellets; de Pulver, Staub, Schleifstaub; fr poudre, poussière;"
    " es polvo; it polvere, polveri",
    "mesh": "mesh, grid, grating, netting, expanded metal; de Gitter, Gitterrost, Netz, Zaun, Drahtgeflecht; fr grillage, treillis,"
    " grille; es malla, rejilla, reja; it rete, reti, griglia, maglia",
    "chain": "chain; de Kette; fr chaîne; es cadena; it catena, catene",
    "bush": "bush, bushing, bushes, bearing, sleeve; de Lagerbuchse, Buchse, Lager, Hülse; fr coussinet, bague, palier;"
    " es cojinete, buje, rodamiento; it boccola, boccole, bronzina, cuscinetto",
    "tank": "tank, vessel, container, box, bucket, tub, bag, sack, carton; de Behälter, Tank, Eimer, Sack, Karton, Tüte;"
    " fr citerne, réservoir, cuve, seau, sac, carton, boîte;"
    " es depósito, tanque, cubo, saco, bolsa; it serbatoio, cisterna, secchio, sacco, busta, scatola",
    "what it stands in": "pallet, skid, bin, crate, stillage; de Palette, Kiste, Gitterbox; fr palette, caisse; es palé, caja;"
    " it cassa, bancale",
    "part": "part, parts, component, item, assembly, cover, gear, propeller, prop, impeller, handle, sink, pin, bath, keg, tankard, bowl, downpipe, sign, end, leftover, winding, commutator, post, roofing,"
    " frame, door, window, plate stand; de Teil, Teile, Deckel, Zahnrad, Schiffsschraube, Rahmen, Fenster, Tür,"
    " Griff, Becken, Stecker, Dach, Teller, Becher, Krug, Schale, Fallrohr, Schild; fr pièce, pièces, couvercle, engrenage, hélice, cadre, porte, fenêtre, évier, poignée, toit, toiture, industriel, volet, bol, panneau;"
    " es pieza, tapa, engranaje, hélice, marco, puerta, ventana, fregadero, bajante, letrero; it pezzo, pezzi, parte, coperchio,"
    " ingranaggio, elica, telaio, porta, finestra, lavello, maniglia, pluviale, cartello",
    "housing": "housing, casing, body, hull; de Gehäuse; fr carcasse, corps; es carcasa, cuerpo; it carcassa, corpo",
    "oxidised": "oxidised, oxidized, corroded, tarnished, patina, mill scale, verdigris, scale; de oxidiert, Grünspan,"
    " Zunder, korrodiert, Patina; fr oxydé, vert-de-gris, corrodé, calamine; es verdín, corroído, cascarilla;"
    " it ossidato, verderame, scaglia, scaglie, corroso",
    "wet": "wet; de nass, feucht; fr mouillé, humide; es mojado, húmedo; it bagnato, umido",
    "burnt": "burnt, burned; de verbrannt, gebrannt; fr brûlé, brûlée; es quemado; it bruciato, cotto",
    "soldered": "soldered, brazed, welded, solder on; de gelötet, geschweißt, verlötet; fr soudé, brasé; es soldado;"
    " it saldato, brasato",
    "stripped": "stripped, bare wire; de abisoliert, entmantelt; fr dénudé; es pelado; it spellato, sguainato",
    "polished": "polished, brushed, satin; de poliert, gebürstet; fr poli, brossé; es pulido, cepillado; it satinato,"
    " spazzolato",
    "dull": "dull, matt, shiny, glossy; de matt, glänzend; fr mat, brillant, terne; es mate, brillante; it opaco,"
    " brillante",
    "colour": "green, greenish, blue, black, brown; de grün, blau, schwarz, braun; fr vert, bleu, noir, brun; es verde,"
    " azul, negro, marrón; it verde, azzurro, nero, marrone",
    "soft": "soft, bends, thumbnail marks it, marks paper, crackles; de weich, biegsam; fr mou, tendre, souple;"
    " es blando, flexible; it morbido, tenero, dolce",
    "hard": "hard, springy, scratches; de hart, federnd, ritzt; fr dur, dure; es duro; it duro",
    "brittle": "brittle, breaks, grainy break, fine grain, curly chip, short chip; de spröde, grobkörnig, brüchig;"
    " fr cassant, cassé; es quebradizo, frágil; it fragile, truciolabile",
    "sparks": "sparks; de Funken; fr étincelles; es chispas; it scintille",
    "sound": "rings, dead sound, rings well; de klingt, dumpf; fr son clair, son sourd; es suena; it suona",
    "touch": "warm, cold, rough, smooth; de warm, rau, glatt; fr chaud, rugueux, lisse; es rugoso, liso; it ruvido, liscio",
    "old or new": "old, new, used, fresh, knackered, worn, worn out, clean scrap, obsolete, prime, production; de alt, neu, gebraucht, neuwertig"
    " sortenrein; fr vieux, vieil, vieille, neuf, neuve, usagé, usé, ancien, ancienne, abîmé, cassé; es viejo, nuevo, usado, vieja, nueva; it vecchio, nuovo,"
    " usato, vecchi, nuovi",
    "size": "big, small, little, large, wide, thick, thin, long, short, huge, tiny; de groß, klein, dick, dünn, lang, kurz; fr gros,"
    " grand, petit, épais, mince, fine, long, court; es grande, pequeño, grueso, delgado, fino; it grande, piccolo, grosso,"
    " sottile, lungo, corto",
    "no metal named": "metallic, metal, scrap, stuff, junk, misc, unknown, bit, bits, lump, lumps, lot, lots, length, lengths,"
    " piece of, pieces of, odds and ends, various, random, ditto, good, bad, solids, something, assorted,"
    " sundry; de Metall, Schrott, Zeug, Stück, Stücke, Haufen, Menge, verschiedenes, diverse, unbekannt, Abfall, Abfälle und Schrott, Altmetall; fr métal, morceau, morceaux, bout, bouts, tas, métallique, métalliques, déchets,"
    " déchets et débris, inconnu, divers; es trozo, trozos, pedazo, pedazos, montón, cosas, metálico, metálica, desperdicios y desechos, desconocido, varios,; it mucchio, roba, metallo, metallico, metallica,"
    " rottame vario, cascami, cascami e avanzi, sconosciuto, vario",
    "mixed": "mixed, mix; de gemischt; fr mélangé, mêlé, mélange; es mezcla, mezclado, mixto; it misto, mista, misti",
    "ferrous or not": "nonferrous, non-ferrous, non ferrous; de Nichteisenmetall, NE-Metall, NE, Buntmetall, Leichtmetall;"
    " fr non ferreux, métaux non ferreux; es no férrico, no ferroso, metal no férreo, férrico, férrica; it non ferroso, metallo non ferroso",
    "thing": "water, food, oil well, machine, hydraulic, telephone, heating, kitchenware, ladder, hopper, barbecue, stairs, railing, handrail, gate, hinge, candlestick, tray, spoon, fork, "
    "knife, trophy, nameplate, mirror, shower, nozzle, sprinkler, chimney, grill, table, bed, cabinet, "
    "trolley, wheelbarrow, mast, anchor, greenhouse, conservatory, awning, canopy, catering, joint, "
    "letterbox, doorbell, bracket, clamp, funnel, flue, duct, vent, louvre, drain, hook, shackle, plinth, "
    "trim, broken, bent, cut, sawn, demolition, stripping, workshop, electrical, electric, domestic, "
    "household, commercial; de Leiter, Regal, Treppe, Geländer, Handlauf, Scharnier, Kerzenständer, "
    "Tablett, Wasserkessel, Löffel, Gabel, Messer, Pokal, Plakette, Spiegel, Gardinenstange, Dusche, "
    "Düse, Tisch, Stuhl, Bett, Schrank, Spind, Wagen, Schubkarre, Gewächshaus, Wintergarten, Markise, "
    "Vordach, Türklinke, Klinke, Türgriff, Knauf, Briefkasten, Halterung, Klemme, Welle, Achse, Walze, "
    "Förderband, Trichter, Kanal, Lüftung, Regenrinne, Abfluss, Badewanne, Waschbecken, Haken, Leiste, "
    "Abbruch, Werkstatt, Industrie, elektrisch, Haushalt, gebogen, gesägt, zerbrochen, kaputt; fr "
    "échelle, escalier, rampe, garde-corps, clôture, portail, charnière, plateau, bouilloire, cuillère, "
    "fourchette, couteau, trophée, miroir, tringle, douche, chaise, lit, armoire, étagère, chariot, "
    "brouette, ancre, serre, véranda, auvent, baignoire, lavabo, boîte aux lettres, bouton, support, "
    "essieu, convoyeur, trémie, conduit, gaine, crochet, atelier, électrique, soudure, plié, scié; es "
    "escalera, barandilla, pasamanos, valla, bisagra, bandeja, cuchara, tenedor, cuchillo, trofeo, "
    "espejo, ducha, boquilla, mesa, silla, cama, armario, estantería, carro, carretilla, mástil, ancla, "
    "invernadero, toldo, marquesina, bañera, manilla, tirador, pomo, buzón, soporte, eje, rodillo, cinta "
    "transportadora, tolva, conducto, gancho, derribo, eléctrico, soldar, doblado, cortado, roto; it "
    "scala, ringhiera, corrimano, recinzione, cancello, cerniera, vassoio, bollitore, cucchiaio, "
    "forchetta, coltello, specchio, doccia, ugello, tavolo, sedia, letto, armadio, scaffale, carrello, "
    "carriola, albero maestro, ancora, serra, tenda, pensilina, vasca, lavandino, cassetta postale, "
    "pomello, supporto, asse, rullo, tramoggia, condotto, gancio, demolizione, officina, elettrico, "
    "saldare, piegato, tagliato, rotto",
    "where from": "car, van, lorry, truck, bike, motorbike, tractor, ship, boat, train, plane, roof, church, kitchen,"
    " bathroom, garden, farm, street, road, railway, factory, shop, office, scaffold, scaffolding; de Auto, Lkw, Fahrrad, Motorrad, Schiff,"
    " Boot, Flugzeug, Haus, Küche, Garten, Baustelle, Gerüst, Fabrik; fr voiture, camion, vélo, moto, bateau, avion, maison, cuisine,"
    " jardin, usine, chantier, échafaudage; es coche, camión, bicicleta, moto, barco, avión, casa, jardín, fábrica, obra, tejado, andamio;"
    " it auto, camion, bici, treno, bicicletta, moto, barca, nave, aereo, casa, cucina, giardino, fabbrica, cantiere, tetto, ponteggio",
    "empty": "empty, full; de leer, voll; fr vide, plein; es vacío, lleno; it vuoto, pieno",
    "leaded": "leaded",
    "joins": "of, with, from, off, a, an, and, for, the, on, without, to, my, that, this, some, few, couple, full of, two, three,"
    " five, ten; de von, mit, aus, und,"
    " für, vom, ohne, ein, eine, einen, einem, einer, der, die, das, dem, den, zum, zur, im, am, paar, etwas, einige, voll, zwei, drei, vier, fünf, zehn;"
    " fr de, du, des, et, avec, pour, sans, les, sur, un, une, le, à, au, aux, quelques, dans, en, deux, trois, quatre, cinq, dix; es del, en, con, para,"
    " los, las, sin, el, y, un, una, unos, unas, al, a, algunos, algunas, dos, tres, cuatro, cinco, diez; it di, in, della, dello, dei, delle, da, per, con, e,"
    " ed, un, uno, una, il, lo, gli, del, dal, dalla, al, alla, alcuni, alcune, degli, dell, due, tre, quattro, cinque, dieci",
}
"""What a word says that speaks for no metal -> ways to say it. They stay on the line and are kept with the piece."""

LANGUAGES = ("de", "fr", "es", "it")


def spoken(listed: str) -> Iterator[str]:
    """Yield every word of one entry of the tables, case-folded.

    >>> list(spoken("strip; de Blech, Bleche; fr tôle"))
    ['strip', 'blech', 'bleche', 'tôle']
    """
    for part in listed.split(";"):
        words = part.strip()
        language, _, rest = words.partition(" ")
        yield from (
            word.strip().casefold()
            for word in (rest if language in LANGUAGES else words).split(",")
            if word.strip()
        )
