//! A job: a catalogue, the files read for it, and the questions asked of them.

use crate::bike::{
    Bike, Setting, Stock, Swap, Taken, Wishes, change, kind_called, read_bike, read_prices,
    read_stock, read_swap, read_wishes, set, settings, taken,
};
use crate::catalog::{Catalog, Labour};
use crate::dim::{Quantity, read_span};
use crate::report::{AuditReport, IdentifyReport, MeasureReport, PlanReport, Report};
use crate::solve::plan::{Asked, Export, NotExported, export, plan};
use crate::solve::{Auditor, Options, check, identify, measure, orders, sizes};
use crate::text::{Fault, FaultKind, Faults, Files, Place};

/// Reads files and answers questions about them; keeps their names for the reports.
#[derive(Debug)]
pub struct Job<'c> {
    catalog: &'c Catalog,
    files: Files,
}

impl<'c> Job<'c> {
    /// A job with no file read yet.
    pub fn new(catalog: &'c Catalog) -> Self {
        Job {
            catalog,
            files: catalog.files().clone(),
        }
    }

    /// The files read so far.
    pub fn files(&self) -> &Files {
        &self.files
    }

    /// Reads a bike.
    ///
    /// # Errors
    ///
    /// Every fault of the file.
    pub fn bike(&mut self, name: &str, bytes: &[u8]) -> Result<Bike, Faults> {
        read_bike(self.catalog, &mut self.files, name, bytes, &[])
    }

    /// Reads a bike, with dimensions set beside the file.
    ///
    /// # Errors
    ///
    /// Every fault of the file and of what was set.
    pub fn bike_with(&mut self, name: &str, bytes: &[u8], set: &[Setting]) -> Result<Bike, Faults> {
        read_bike(self.catalog, &mut self.files, name, bytes, set)
    }

    /// Reads a swap set; `stock` is where ids in it are looked up.
    ///
    /// # Errors
    ///
    /// Every fault of the file.
    pub fn swap(
        &mut self,
        name: &str,
        bytes: &[u8],
        stock: Option<&Stock>,
    ) -> Result<Swap, Faults> {
        read_swap(self.catalog, &mut self.files, name, bytes, stock)
    }

    /// Reads what is said beside the files, one on each line: `slot.dimension=value`. Every line that is
    /// none is a fault.
    pub fn settings(&mut self, name: &str, text: &str, faults: &mut Faults) -> Vec<Setting> {
        settings(&mut self.files, name, text, faults)
    }

    /// Sets what is said beside the files: `slot.dimension` and its value, of the new part where the
    /// swap set brings one for that slot, else of the bike's; `fitted.slot.dimension` of the part
    /// that is fitted now; `family/code` and yes or no for what somebody looked at.
    ///
    /// # Errors
    ///
    /// Every fault of what was set.
    pub fn set(
        &self,
        bike: &mut Bike,
        swap: Option<&mut Swap>,
        settings: &[Setting],
    ) -> Result<(), Faults> {
        set(self.catalog, bike, swap, settings)
    }

    /// Reads a page of wishes.
    ///
    /// # Errors
    ///
    /// Every fault of the file.
    pub fn wishes(&mut self, name: &str, bytes: &[u8]) -> Result<Wishes, Faults> {
        read_wishes(self.catalog, &mut self.files, name, bytes)
    }

    /// What the work costs: the catalogue's table, with what a shop's own says instead.
    ///
    /// # Errors
    ///
    /// Every fault of the file.
    pub fn labour(&mut self, own: Option<(&str, &[u8])>) -> Result<Labour, Faults> {
        let usual = Labour::usual(self.catalog);
        match own {
            Some((name, bytes)) => usual.with(self.catalog, &mut self.files, name, bytes),
            None => Ok(usual),
        }
    }

    /// Adds to a swap set what is said beside the files: `slot.dimension` and its value of the new part
    /// for that slot, or `slot` and the id of a line of stock.
    ///
    /// # Errors
    ///
    /// Every fault of what was said.
    pub fn change(
        &self,
        swap: &mut Swap,
        settings: &[Setting],
        stock: Option<&Stock>,
    ) -> Result<(), Faults> {
        change(self.catalog, swap, settings, stock)
    }

    /// Reads a list of stock. It keeps its text, so bytes that are handed over are not copied.
    ///
    /// # Errors
    ///
    /// Every fault of the file.
    pub fn stock(&mut self, name: &str, bytes: impl Into<Vec<u8>>) -> Result<Stock, Faults> {
        read_stock(self.catalog, &mut self.files, name, bytes.into())
    }

    /// Reads a list of stock whose prices count. It keeps its text as well.
    ///
    /// # Errors
    ///
    /// Every fault of the file, and every price that is none.
    pub fn prices(&mut self, name: &str, bytes: impl Into<Vec<u8>>) -> Result<Stock, Faults> {
        read_prices(self.catalog, &mut self.files, name, bytes.into())
    }

    /// Checks a swap set on a bike.
    pub fn check(&self, bike: &Bike, swap: Option<&Swap>, options: Options) -> Report {
        let check = check(self.catalog, bike, swap, options);
        let order = orders(self.catalog, bike, swap, options, &check);
        let mut report = Report::of(self.catalog, &self.files, bike, swap, &check);
        report.list(self.catalog, &self.files, &order, &check);
        report
    }

    /// What must be measured before a swap set on a bike is known to fit or not.
    pub fn measure(&self, bike: &Bike, swap: Option<&Swap>, options: Options) -> MeasureReport {
        let found = measure(self.catalog, bike, swap, options);
        MeasureReport::of(self.catalog, &self.files, bike, swap, &found)
    }

    /// Looks for the cheapest parts with which everything fits and every wish holds.
    ///
    /// # Errors
    ///
    /// Every price that is none.
    pub fn plan(&self, asked: &Asked<'c>) -> Result<PlanReport, Faults> {
        let planned = plan(self.catalog, asked)?;
        Ok(PlanReport::of(self.catalog, &self.files, asked, &planned))
    }

    /// The problem that a plan solves, as data.
    ///
    /// # Errors
    ///
    /// Every price that is none; a rule with too many combinations to be written out.
    pub fn export(&self, asked: &Asked<'c>) -> Result<Export, NotExported> {
        export(self.catalog, asked)
    }

    /// Audits a stock against a bike.
    pub fn audit<'s>(&self, bike: &Bike, stock: &'s Stock, options: Options) -> AuditReport<'s>
    where
        'c: 's,
    {
        let audit = Auditor::new(self.catalog, bike, options).stock(stock);
        AuditReport::of(self.catalog, &self.files, bike, stock, &audit)
    }

    /// The kind of part a word stands for; a word that is none is a fault.
    pub fn kind(&mut self, word: &str, faults: &mut Faults) -> Option<usize> {
        let place = self.whole("kind of part", word);
        kind_called(self.catalog, word, place, faults)
    }

    /// A standard error as it is stated: one length, more than nothing.
    pub fn error(&mut self, name: &str, text: &str, faults: &mut Faults) -> Option<i64> {
        let place = self.whole(name, text);
        let message = match read_span(Quantity::Length, text) {
            Ok(span) if span.is_exact() && span.low > 0 => return Some(span.low),
            Ok(_) => "an error is one length, more than nothing: 0.05 mm".to_owned(),
            Err(wrong) => wrong.message,
        };
        faults.push(Fault::new(place, FaultKind::BadValue, text, message));
        None
    }

    /// Reads what was measured of parts that nobody has named: `kind.dimension=value` on each line, or
    /// the dimension alone where the kind is said once for all. `calliper` is the standard error of the
    /// calliper, where it is stated.
    pub fn taken(
        &mut self,
        kind: Option<usize>,
        texts: &[(String, String)],
        calliper: Option<i64>,
        faults: &mut Faults,
    ) -> Vec<Taken> {
        let read = texts
            .iter()
            .flat_map(|(name, text)| settings(&mut self.files, name, text, faults));
        let read: Vec<Setting> = read.collect();
        taken(self.catalog, kind, &read, calliper, faults)
    }

    /// Which sizes the readings could be of. A reading that tells no size is a fault.
    pub fn identify(
        &self,
        taken: &[Taken],
        calliper: Option<i64>,
        faults: &mut Faults,
    ) -> IdentifyReport {
        let found = identify(self.catalog, taken, calliper);
        let told = |place: Place| {
            let mut things = found.things.iter().flat_map(|thing| &thing.taken);
            things.any(|taken| taken.place == place)
        };
        // A marking may say more than what tells the size: `37-622`.
        for idle in found.idle.iter().filter(|idle| !told(idle.place)) {
            let dimension = self.catalog.bench_dimension(idle.kind, idle.number);
            let name = dimension.map_or("", |dimension| dimension.name.as_str());
            let tells = self.tells(idle.kind);
            let body = self.catalog.body(idle.kind);
            let message = match tells.as_slice() {
                [] => format!("`{name}`: the catalogue has no sizes of a {}", body.title),
                some => format!(
                    "`{name}` tells no size of a {}; these do: {}",
                    body.title,
                    some.join(", ")
                ),
            };
            faults.push(Fault::new(idle.place, FaultKind::Unused, name, message));
        }
        IdentifyReport::of(self.catalog, &found)
    }

    /// The dimensions of a kind that tell a size.
    pub fn tells(&self, kind: usize) -> Vec<String> {
        let sizes = sizes(self.catalog, kind);
        let numbers = sizes.iter().flat_map(|size| size.numbers());
        let numbers: std::collections::BTreeSet<usize> = numbers.collect();
        let named = numbers.into_iter().filter_map(|number| {
            let dimension = self.catalog.bench_dimension(kind, number)?;
            Some(dimension.name.to_string())
        });
        named.collect()
    }

    /// The place of a word that stands alone.
    fn whole(&mut self, name: &str, text: &str) -> Place {
        let mut place = Place::start(self.files.add(name, text));
        let length = text.chars().count().max(1);
        place.at.length = u32::try_from(length).unwrap_or(u32::MAX);
        place
    }
}
