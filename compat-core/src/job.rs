//! A job: a catalogue, the files read for it, and the questions asked of them.

use crate::bike::{
    Bike, Setting, Stock, Swap, Wishes, read_bike, read_stock, read_swap, read_wishes, set,
    settings,
};
use crate::catalog::{Catalog, Labour};
use crate::report::{AuditReport, MeasureReport, PlanReport, Report};
use crate::solve::plan::{Asked, Export, NotExported, export, plan};
use crate::solve::{Auditor, Options, check, measure};
use crate::text::{Faults, Files};

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

    /// Reads a list of stock.
    ///
    /// # Errors
    ///
    /// Every fault of the file.
    pub fn stock(&mut self, name: &str, bytes: &[u8]) -> Result<Stock, Faults> {
        read_stock(self.catalog, &mut self.files, name, bytes)
    }

    /// Checks a swap set on a bike.
    pub fn check(&self, bike: &Bike, swap: Option<&Swap>, options: Options) -> Report {
        Report::of(
            self.catalog,
            &self.files,
            bike,
            swap,
            &check(self.catalog, bike, swap, options),
        )
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
}
